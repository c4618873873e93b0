"""A tune as it was played, as plain data: what ``chanterd assess --tune --json`` prints.

Conventions: ``_ms`` of an onset counts from the beginning of the take; deviations are + = late; notes count from 0 in
the tune as written, times through from 1. The melody note's own onset is what counts, behind its gracenotes.
"""

from typing import NotRequired

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT, ExtraResult, FaultResult, StateName, StepResult


@with_config(STRICT)
class OrnamentResult(TypedDict):
    """The gracenotes of one note, as they were played."""

    drill: str | None
    """The way in as written; None if the book has no such drill."""
    gracenotes: list[str]
    clean: bool
    faults: list[FaultResult]
    said: str
    """The one sentence for the player."""
    steps: list[StepResult]
    """As in a rep: every gracenote and, last, the melody note."""
    extras: list[ExtraResult]


NoteResult = TypedDict(
    "NoteResult",
    {
        "note": int,
        "pass": int,
        "bar": int,
        "name": str,
        "state": StateName,
        "expected_ms": float,
        "onset_ms": float | None,
        "deviation_ms": float | None,
        "length_ms": float | None,
        "played_note": NotRequired[str],
        "ornament": OrnamentResult | None,
    },
)
"""One note of the tune, each time that it was reached: its index as written, and which coming-by it is."""


@with_config(STRICT)
class TakeOut(TypedDict):
    """An ornament that needs work."""

    note: int
    """The first place where it occurs, of those where it was least clean."""
    drill: str | None
    words: str
    """What to call it: its drill, or its gracenotes."""
    times: int
    clean: int
    said: str
    """What was wrong most often."""


@with_config(STRICT)
class BarTempo(TypedDict):
    """How fast one bar was played."""

    bar: int
    at_ms: float
    """When it began."""
    click_bpm: float


@with_config(STRICT)
class TuneSummary(TypedDict):
    """A whole take in a few figures."""

    click_bpm: float
    """The click; without one the tempo that was played."""
    click_off: bool
    notes: int
    """How often a note was reached."""
    missing: int
    wrong: int
    ornaments: int
    clean: int
    deviation_ms: float | None
    """The median of the notes on a beat."""
    scatter_ms: float | None
    """How far they are from it as a rule: half of them are nearer."""
    restarts: int
    """How often the player went back, or left something out."""
    stops: int
    take_out: list[TakeOut]
    """The five ornaments to take out next, the worst first."""
    compared: int
    """How many ornaments were heard in two places or more."""
    alike: list[str]
    """Where the same ornament is not played alike."""
    tempi: list[BarTempo]
    said: str
    """One sentence on the whole."""
