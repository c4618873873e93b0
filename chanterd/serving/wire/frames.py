"""The shapes of everything the daemon says to a page: live frames and the state, as typed dictionaries.

Goal: one description that mypy checks, that JSON Schema is made from, and that costs nothing when a frame is sent.
Conventions: ``_ns`` is the daemon's monotonic clock; ``_ms`` of an onset counts from beat 0 of the run (in a file:
from its start); deviations are + = late; reps and steps count from 0; ``player`` names whose chanter it is. ``at_ns``
and ``heard_ns`` are stamps as they came; a calibration is taken off the ``_ms`` only.
"""

from functools import cache
from typing import Any, Literal, NotRequired

from pydantic import TypeAdapter, with_config
from typing_extensions import TypedDict

from chanterd.judging.continuation import Continuation
from chanterd.judging.report import STRICT, RepResult, Timing
from chanterd.judging.teacher import Remarks
from chanterd.practice.feedback.feedback import FeedbackShown
from chanterd.serving.wire.shapes import (
    HistoryShown,
    LadderRuleShown,
    LadderShown,
    PaceShown,
    PlayerShown,
    SessionShown,
)


@with_config(STRICT)
class StepShown(TypedDict):
    """One step of the drill as asked; the last one is the theme note."""

    step: int
    note: str
    kind: Literal["quick", "held", "theme"]
    sounds: bool
    """False: equal to the note before it, so it has no onset of its own."""
    offset_ms: float
    """Its expected onset from the ornament's own beat; - is before the beat."""
    length_ms: float


@with_config(STRICT)
class DrillShown(TypedDict):
    """The drill in words and in time, for the page to draw."""

    drill: str
    ornament: str
    lead: str
    theme: str
    spelled: str
    """In words: ``low G, D, low G, then C on the beat``."""
    beat_step: int
    """The step that belongs on the beat."""
    lead_offset_ms: float
    """The lead's expected onset from the ornament's own beat (negative)."""
    lead_sounds: bool
    """False: the lead equals the theme of the rep before, and goes on sounding unless nothing has been played yet."""
    end_offset_ms: float
    """Where the rep ends, from the ornament's own beat."""
    steps: list[StepShown]


@with_config(STRICT)
class GridShown(TypedDict):
    """The click: beat b sounds at beat0_ns + b * 60e9 / click_bpm, from beat -count_in on."""

    beat0_ns: int
    click_bpm: float
    count_in: int
    clicks_per_rep: int
    """Also where the accent falls: on every beat that is a multiple of it."""
    ornament_beat: int
    """The ornament's own beat within a rep."""
    click_off: bool
    """The click stops with the count-in; what is expected then goes along with the player's own pulse."""


@with_config(STRICT)
class PracticeShown(TypedDict):
    """A run in progress."""

    drill: str
    """As it was asked for."""
    asked: DrillShown
    """What the first rep asks."""
    sequence: list[DrillShown]
    """What reps 0, 1, 2, ... ask in turn, over and over; one where every rep asks the same."""
    left_out: str
    """What of the scale is not played, in a sentence; empty if nothing."""
    grid: GridShown
    standard: str
    spread: float
    """The share of a click that a held step is asked to take."""
    layout: str
    """How a rep lies on the clicks."""
    reps: list[RepResult]
    """The last dozen, oldest first."""
    in_a_row: int
    clean: int
    played: int
    """Reps that were not skipped."""
    ladder: LadderShown | None
    """The tempo ladder that this run is a part of."""
    feedback: FeedbackShown
    """What of all this a page may show."""
    doubt: str
    """Why what is told just now may mean nothing, for the player; empty as a rule."""


@with_config(STRICT)
class ChanterShown(TypedDict):
    """The input, what it does now, and a sentence that tells a person what to do about it."""

    input: str
    state: Literal["ready", "waiting", "gone", "no driver", "ended"]
    said: str
    profile: str
    timing: Literal["driver", "arrival"]
    calibration_ms: float | None
    """What is taken off each onset; None: never calibrated."""
    sounding: str | None


@with_config(STRICT)
class LearningShown(TypedDict):
    """Learning an unknown chanter: the player plays the scale once, from low G up."""

    state: Literal["running", "done", "failed"]
    next_note: str | None
    heard: int
    """How many of the nine notes are known by now."""
    said: str


@with_config(STRICT)
class CalibrationShown(TypedDict):
    """A played calibration: what is left between the click that is heard and the note that is seen."""

    state: Literal["running", "done", "failed"]
    grid: GridShown
    clicks: int
    heard: int
    calibration_ms: float | None
    spread_ms: float | None
    said: str


@with_config(STRICT)
class EndedShown(TypedDict):
    """The last run or ladder, when it is over."""

    practice: PracticeShown
    """As it stood at its end."""
    continuation: Continuation | None
    """How the tempo was kept; None where the click was on."""
    remarks: Remarks | None
    """What a teacher would write; None if nothing was played."""


@with_config(STRICT)
class SeatShown(TypedDict):
    """One chanter and what is done with it; what is over stays until something else begins, or somebody else sits."""

    seat: str
    """The seat, as every frame names it."""
    player: PlayerShown
    chanter: ChanterShown
    practice: PracticeShown | None
    ended: EndedShown | None
    learning: LearningShown | None
    calibration: CalibrationShown | None
    session: SessionShown | None
    """The plan that is gone through, until it is over."""


@with_config(STRICT)
class ChoiceShown(TypedDict):
    """Something to choose from, with a sentence about it."""

    name: str
    said: str


@with_config(STRICT)
class StateShown(TypedDict):
    """``GET /api/state``: all that a page needs to draw itself."""

    version: str
    clock_ns: int
    seats: list[SeatShown]
    history: HistoryShown
    standards: list[ChoiceShown]
    profiles: list[ChoiceShown]
    layouts: list[ChoiceShown]
    feedbacks: list[ChoiceShown]
    """The schedules of feedback; the first is used if none is named."""
    standard: str
    """The standard used if none is named."""
    spread: float
    """The spread used if none is named."""
    spread_range: tuple[float, float]
    drill: str
    """The drill to offer first."""
    click_bpm: float
    """The tempo to offer first."""
    tempo_range: tuple[float, float]
    ladder: LadderRuleShown
    """The rule of a tempo ladder to offer first."""
    paces: list[PaceShown]


@with_config(STRICT)
class HelloFrame(TypedDict):
    """The first frame on a connection."""

    kind: Literal["hello"]
    clock_ns: int
    state: StateShown


@with_config(STRICT)
class ClockFrame(TypedDict):
    """Answer to the page's ``{"kind": "clock", "sent": t1}``: the middle two of four stamps."""

    kind: Literal["clock"]
    sent: float
    received_ns: int
    replied_ns: int


@with_config(STRICT)
class GridFrame(TypedDict):
    """A run began (``practice`` set) or ended (``practice`` is None)."""

    kind: Literal["grid"]
    seat: str
    practice: PracticeShown | None
    continuation: NotRequired[Continuation]
    """How the tempo was kept in a run that ended and had its click off."""
    remarks: NotRequired[Remarks]
    """What a teacher would write under a run that ended, if anything was played."""


@with_config(STRICT)
class LadderFrame(TypedDict):
    """Where the tempo ladder stands after a rep; a ``grid`` frame follows when the tempo changes."""

    kind: Literal["ladder"]
    seat: str
    ladder: LadderShown


@with_config(STRICT)
class SessionFrame(TypedDict):
    """Where the plan stands; at least once a second while it goes on."""

    kind: Literal["session"]
    seat: str
    session: SessionShown


@with_config(STRICT)
class NoteFrame(TypedDict):
    """What sounds now; note None is silence. ``midi`` is set when the number belongs to none of the nine notes."""

    kind: Literal["note"]
    seat: str
    note: str | None
    midi: NotRequired[int]
    at_ns: int
    onset_ms: float | None
    """From beat 0 of the run; None outside a run."""


@with_config(STRICT)
class StepFrame(Timing):
    """One step was heard, or its reading changed. ``step`` -1 is the lead. The step's own kind is ``step_kind``."""

    kind: Literal["step"]
    seat: str
    rep: int
    final: bool
    heard_ns: int
    """The stamp of the latest MIDI message, as a rule the one that told this."""
    sent_ns: int
    step: int
    note: str
    step_kind: Literal["quick", "held", "theme", "lead"]


@with_config(STRICT)
class RepFrame(RepResult):
    """The final verdict of a rep."""

    kind: Literal["rep"]
    seat: str
    in_a_row: int
    clean_count: int
    played_count: int
    heard_ns: int
    sent_ns: int


@with_config(STRICT)
class FeedbackFrame(TypedDict):
    """What may be shown of the run has changed: sent before the ``rep`` that changes it, after a guess, at the end.

    Not sent by a schedule that keeps nothing back.
    """

    kind: Literal["feedback"]
    seat: str
    feedback: FeedbackShown


@with_config(STRICT)
class DoubtFrame(TypedDict):
    """What is told of the run may mean nothing from now on, and why; or (empty) it can be trusted again."""

    kind: Literal["doubt"]
    seat: str
    doubt: str


@with_config(STRICT)
class ChanterFrame(TypedDict):
    """The chanter was plugged in, is gone, changed its profile, ..."""

    kind: Literal["chanter"]
    seat: str
    chanter: ChanterShown


@with_config(STRICT)
class LearningFrame(TypedDict):
    """A step of learning a chanter; None when it was cancelled."""

    kind: Literal["learning"]
    seat: str
    learning: LearningShown | None


@with_config(STRICT)
class CalibrationFrame(TypedDict):
    """A step of the played calibration; None when it was cancelled."""

    kind: Literal["calibration"]
    seat: str
    calibration: CalibrationShown | None


@with_config(STRICT)
class HistoryFrame(TypedDict):
    """The history cannot be written, or can be again."""

    kind: Literal["history"]
    history: HistoryShown


@with_config(STRICT)
class ResyncFrame(TypedDict):
    """The viewer must take the state anew from here.

    It was too slow and lost frames (never a ``rep``), or (``lost`` is 0) something has changed that no other frame
    tells: the list of profiles, who sits at a seat.
    """

    kind: Literal["resync"]
    lost: int
    state: StateShown


@with_config(STRICT)
class ErrorFrame(TypedDict):
    """What this viewer sent could not be understood, or a fault of the daemon's own: one sentence for a person."""

    kind: Literal["error"]
    said: str


Frame = (
    HelloFrame
    | ClockFrame
    | GridFrame
    | LadderFrame
    | SessionFrame
    | NoteFrame
    | StepFrame
    | RepFrame
    | FeedbackFrame
    | DoubtFrame
    | ChanterFrame
    | LearningFrame
    | CalibrationFrame
    | HistoryFrame
    | ResyncFrame
    | ErrorFrame
)


@cache
def frames_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of every frame, as the daemon serves it at ``/frames.schema.json``."""
    schema = TypeAdapter[Frame](Frame).json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "chanterd live frames", **schema}
