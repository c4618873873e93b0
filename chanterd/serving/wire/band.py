"""A band's rep as it is sent: how close together a class played each step."""

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.ensemble import BandRep, OnsetSpread
from chanterd.judging.report import STRICT


@with_config(STRICT)
class SpreadShown(TypedDict):
    """Where the onsets of one step fell, from the ornament's own beat; + = after it."""

    seats: int
    """How many played it as asked."""
    middle_ms: float | None
    """The median over seats."""
    spread_ms: float | None
    """The standard deviation of the sample (n - 1); None below two seats."""


@with_config(STRICT)
class BandStepShown(SpreadShown):
    """One step."""

    step: int
    note: str


@with_config(STRICT)
class BandFrame(TypedDict):
    """One rep of a class, when all its seats have closed it or half a click after it closes as a rule."""

    kind: Literal["band"]
    rep: int
    seats: int
    """How many played any step of it."""
    steps: list[BandStepShown]
    beat: SpreadShown
    """The step that belongs on the beat."""
    together_ms: float | None
    """The root mean square of the beat's spread over the last eight reps that have one."""


def band_frame(band: BandRep) -> BandFrame:
    """A band's rep as a frame."""
    return BandFrame(
        kind="band",
        rep=band.rep,
        seats=band.seats,
        steps=[BandStepShown(step=one.step, note=one.note, **_shown(one.spread)) for one in band.steps],
        beat=_shown(band.beat),
        together_ms=_tenth(band.together_ms),
    )


def _shown(spread: OnsetSpread) -> SpreadShown:
    return SpreadShown(seats=spread.seats, middle_ms=_tenth(spread.middle_ms), spread_ms=_tenth(spread.spread_ms))


def _tenth(value: float | None) -> float | None:
    return None if value is None else round(value, 1)
