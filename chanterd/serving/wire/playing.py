"""A tune or a passage of it while it is played at a seat, and what became of it; and the frames about it."""

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT, RepResult
from chanterd.judging.tunes.report import NoteResult, TuneSummary
from chanterd.music.segment import Segment
from chanterd.practice.feedback.feedback import FeedbackShown
from chanterd.practice.passage.rounds import OrnamentPlayed
from chanterd.serving.wire.drill import DrillShown, drill_view
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
class RungShown(TypedDict):
    """One notch of a ladder through a tune."""

    words: str
    """The tempo, or the passage."""
    here: bool
    held: bool


@with_config(STRICT)
class TuneLadderShown(TypedDict):
    """The state of a ladder through a tune. A round that is not clean breaks the row."""

    climbs: Literal["tempo", "width"]
    phase: Literal["climbing", "falling", "proving", "over"]
    in_a_row: int
    """Clean rounds in a row that lead on."""
    row: int
    """How many there are now."""
    tries_left: int
    """Including the one under way."""
    said: str
    """The announcement, to show or to speak: where it is, or why it has changed."""
    full_row: str
    """Where the full row leads, such as ``up to 64`` or ``on to bar 3``; empty at the end."""
    no_row: str
    """Where it leads if the tries run out without a full row."""
    whole: str
    """How many rounds were clean, once it is over; empty before, or if none was played."""
    rungs: list[RungShown]
    """From the lowest up."""


@with_config(STRICT)
class TuneRunShown(TypedDict):
    """A run through a tune or a passage of it; kept until something else begins."""

    tune: str
    title: str
    first: int
    """Its first and its last note in the tune as written."""
    last: int
    passage: str
    """What is played, in words: ``bar 3``."""
    width: Literal["ornament", "passage", "beat", "bar", "two bars", "part", "tune"]
    ornament: int | None
    """The note whose ornament was taken out."""
    stage: int | None
    """Of its build-up; None: all of it."""
    stages: int
    """How many stages it has, the last one is all of it."""
    standard: str
    on_beat_ms: float
    """How far from the beat still counts as on it."""
    grid: GridShown
    begins_ns: int
    """When its first note is due."""
    going: bool
    noticed: bool
    """Nobody started it: the player just plays, and chanterd noticed which tune it is."""
    cursor: int | None
    """The note that the player is at; None: nothing of it was heard yet."""
    rounds: int
    """How many times through are over, broken-off ones included."""
    clean: int
    in_a_row: int
    """Clean rounds in a row now."""
    ladder: TuneLadderShown | None
    feedback: FeedbackShown
    """What a page may show of the ornaments; each is a rep of it, counted from 0."""
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
    """An ornament of the tune is over: how it was, as read so far."""

    kind: Literal["tune ornament"]
    seat: str
    note: int
    round: int
    """In which time through the passage, from 0."""
    on_beat: bool
    """Whether its note is written on a beat; only then can it be early or late."""
    asked: DrillShown
    """What was to be played."""
    rep: RepResult
    """What was played; ornaments count as reps from 0."""


@with_config(STRICT)
class TuneFeedbackFrame(TypedDict):
    """What may be shown of the ornaments has changed; it comes before the frame that it is about."""

    kind: Literal["tune feedback"]
    seat: str
    feedback: FeedbackShown


@with_config(STRICT)
class TuneRoundFrame(TypedDict):
    """One time through the passage is over."""

    kind: Literal["tune round"]
    seat: str
    round: int
    clean: bool
    said: str
    """The one sentence for the player."""
    clean_count: int
    played_count: int
    in_a_row: int
    ladder: TuneLadderShown | None
    """Where the ladder is with it."""


def ornament_frame(seat: str, event: OrnamentPlayed, segment: Segment, result: RepResult) -> TuneOrnamentFrame:
    """The frame about an ornament that is over."""
    return TuneOrnamentFrame(
        kind="tune ornament",
        seat=seat,
        note=event.note.result["note"],
        round=event.round,
        on_beat=not segment.phase,
        asked=drill_view(segment, segment.drill.theme),
        rep=result,
    )


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
