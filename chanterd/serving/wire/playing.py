"""A tune or a passage of it while it is played at a seat, and what became of it; and the frames about it."""

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT
from chanterd.judging.tunes.report import NoteResult, TuneSummary
from chanterd.serving.wire.grid import GridShown


@with_config(STRICT)
class PlacePlayed(TypedDict):
    """The ornament of one note, over all times that it was played."""

    note: int
    """Its index in the tune as written."""
    times: int
    clean: int
    said: str
    """What was wrong the last time that it was not clean; else that it was clean."""


@with_config(STRICT)
class TuneResult(TypedDict):
    """What became of a run through a tune."""

    summary: TuneSummary
    places: list[PlacePlayed]


@with_config(STRICT)
class TuneRunShown(TypedDict):
    """A run through a tune or a passage of it; kept until something else begins."""

    tune: str
    title: str
    first: int
    """Its first and its last note in the tune as written."""
    last: int
    standard: str
    grid: GridShown
    begins_ns: int
    """When its first note is due."""
    going: bool
    noticed: bool
    """Nobody started it: the player just plays, and chanterd noticed which tune it is."""
    cursor: int | None
    """The note that the player is at; None: nothing of it was heard yet."""
    result: TuneResult | None
    """When it is over, if anything was played."""


@with_config(STRICT)
class TuneFrame(TypedDict):
    """A run through a tune began or ended."""

    kind: Literal["tune"]
    seat: str
    tune_run: TuneRunShown


@with_config(STRICT)
class CursorFrame(TypedDict):
    """The player has come to a note of the tune."""

    kind: Literal["cursor"]
    seat: str
    note: int
    step: int
    """Which of its gracenotes it is; the melody note itself is behind the last."""
    heard_ns: int
    sent_ns: int


@with_config(STRICT)
class TuneOrnamentFrame(TypedDict):
    """An ornament of the tune was played: how, as read so far, apart from when it came."""

    kind: Literal["tune ornament"]
    seat: str
    note: int
    clean: bool
    said: str


def places_of(notes: list[NoteResult]) -> list[PlacePlayed]:
    """The ornaments of a run by their notes, in the order of the tune."""
    found: dict[int, PlacePlayed] = {}
    for one in notes:
        ornament = one["ornament"]
        if ornament is None:
            continue
        place = found.setdefault(one["note"], PlacePlayed(note=one["note"], times=0, clean=0, said="Clean."))
        place["times"] += 1
        place["clean"] += ornament["clean"]
        if not ornament["clean"]:
            place["said"] = ornament["said"]
    return [found[note] for note in sorted(found)]
