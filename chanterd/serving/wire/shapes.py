"""The state and the parts of frames and answers, as typed dictionaries.

Conventions: ``_ns`` is the daemon's monotonic clock; ``_ms`` of an onset counts from beat 0 of the run (in a file:
from its start); deviations are + = late; reps and steps count from 0; ``seat`` is the place with a chanter, ``player``
the person. ``at_ns`` and ``heard_ns`` are times as stamped; a calibration is subtracted from the ``_ms`` only.
"""

from typing import Any, Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.continuation import Continuation
from chanterd.judging.report import STRICT, RepResult
from chanterd.judging.teacher import Remarks
from chanterd.practice.feedback.feedback import FeedbackShown
from chanterd.serving.wire.drill import DrillShown
from chanterd.serving.wire.free import FreeShown
from chanterd.serving.wire.grid import GridShown
from chanterd.serving.wire.playing import TuneRunShown
from chanterd.serving.wire.segments import SegmentShown


@with_config(STRICT)
class LadderRuleShown(TypedDict):
    """The rule of a tempo ladder, fixed before starting; tempi are clicks a minute."""

    first_bpm: float
    raise_bpm: float
    in_a_row: int
    top_bpm: float
    tries: int
    performing_bpm: float | None
    """None: there is none to prove."""


@with_config(STRICT)
class LadderShown(TypedDict):
    """The state of a tempo ladder. A rep that is not clean breaks the row; a rested one changes nothing."""

    rule: LadderRuleShown
    phase: Literal["climbing", "falling", "proving", "over"]
    click_bpm: float
    row: int
    """Clean reps in a row at this tempo."""
    tries_left: int
    """Including the one under way."""
    held_bpm: float | None
    """The fastest tempo with a full row."""
    move: Literal["up", "down", "to performing", "end"] | None
    """What the last rep led to; None: the tempo stays."""
    outcome: Literal["proved", "not yet", "not proved", "held", "not held"] | None
    """How it ended, if it was not stopped."""
    said: str
    """The announcement, to show or to speak."""
    full_row: str
    """Where the full row leads, such as ``up to 64``; empty at the end."""
    full_row_bpm: float | None
    """The tempo there; None where it ends."""
    no_row: str
    """Where it leads if the tries run out without a full row."""
    no_row_bpm: float | None
    whole: str
    """A summary over all its tempi, in a sentence or two; empty while it goes on, or if nothing was played."""
    rungs: list[float]
    """Every tempo from the lowest so far up to the top."""


@with_config(STRICT)
class PaceShown(TypedDict):
    """How fast a kind of tune is played; tempi are beats a minute, not clicks."""

    name: str
    said: str
    source: str
    first: float
    low: float
    high: float
    performing: float


@with_config(STRICT)
class PlanPartShown(TypedDict):
    """One part of a plan."""

    name: str
    drill: str
    """What is played, in words: a drill, or a tune and the passage of it, such as ``Seven Gulls, bar 3``."""
    tune: str | None
    """Of a passage, its tune's key."""
    how_long: str
    """In words: ``3 minutes``, ``20 reps``, ``5 rounds``, ``ladder 60 to 80, 3 in a row``."""
    counted: str
    """What is counted in it: ``reps`` of a drill, ``rounds`` of a passage."""
    warm_up: bool
    click_bpm: float


@with_config(STRICT)
class PlanShown(TypedDict):
    """A plan of practice."""

    key: str
    """The key that starts it."""
    own: bool
    """Whether it may be changed; a plan that ships can be copied."""
    name: str
    said: str
    parts: list[PlanPartShown]
    trouble: str
    """Why it cannot be used now and how to mend it, a line a mistake; empty if it can."""
    can_change: bool
    """Whether the form can open it; a file that it cannot read is mended by hand."""


@with_config(STRICT)
class PlanWritten(TypedDict):
    """A plan as its file has it."""

    key: str
    own: bool
    version: str
    """Of the file; a change has to name it, so that nobody overwrites what they have not seen."""
    plan: dict[str, Any]
    """The table: ``name``, ``said``, ``breaks`` and ``part``, as ``configs/plans`` explains them."""


@with_config(STRICT)
class SessionShown(TypedDict):
    """A player's way through a plan."""

    plan: PlanShown
    state: Literal["between", "playing", "break", "done", "stopped"]
    """``between``: the part has been announced and begins in a moment."""
    paused: bool
    part: int
    """The present part, or the one that comes next; from 0."""
    left_s: int | None
    """Time left of the present state, in whole seconds; None if time does not end it."""
    reps: int
    """Played in the present part."""
    reps_wanted: int | None
    said: str
    news: str
    """The last move of this part's ladder, or the result of the part before; may be empty."""
    reminder: str
    """A reminder that a break is overdue; empty if it is not."""


@with_config(STRICT)
class PlayerShown(TypedDict):
    """Who sits at a chanter: a player of the history."""

    number: int
    name: str


@with_config(STRICT)
class HistoryShown(TypedDict):
    """Whether reps are being stored."""

    kept: bool
    said: str
    """Where they are stored, or why they cannot be."""


@with_config(STRICT)
class ClickShown(TypedDict):
    """What is clicked to in a class."""

    grid: GridShown
    last: int | None
    """The beat before which it ends, as when the sound is measured; None: it goes on."""


@with_config(STRICT)
class PracticeShown(TypedDict):
    """A run in progress."""

    drill: str
    """Its words in the request."""
    asked: DrillShown
    """The drill of the first rep."""
    sequence: list[DrillShown]
    """The drills of reps 0, 1, 2, ..., over and over; one if every rep has the same."""
    left_out: str
    """What of the scale is not played, in a sentence; empty if nothing."""
    grid: GridShown
    segments: list[SegmentShown]
    """The segment that goes on and the next one, in time; later ones come in frames of their own."""
    standard: str
    on_beat_ms: float
    """How far from the beat still counts as on it: the standard's limit at this tempo. It decides everywhere what is
    coloured, counted and called early or late."""
    spread: float
    """The share of a click that a held step should take."""
    layout: str
    """How a rep fits the clicks."""
    reps: list[RepResult]
    """The last dozen, oldest first."""
    in_a_row: int
    clean: int
    played: int
    """Reps that were not skipped."""
    ladder: LadderShown | None
    """The tempo ladder that this run belongs to."""
    feedback: FeedbackShown
    """What of all this a page may show."""
    doubt: str
    """A warning to the player that the figures may mean nothing just now; usually empty."""


@with_config(STRICT)
class ChanterShown(TypedDict):
    """The input, its state, and a sentence that says what to do about it."""

    input: str
    state: Literal["ready", "waiting", "gone", "no driver", "ended"]
    said: str
    profile: str
    timing: Literal["driver", "arrival"]
    calibration_ms: float | None
    """What is subtracted from each onset; None if never calibrated."""
    sounding: str | None


@with_config(STRICT)
class LearningShown(TypedDict):
    """Learning an unknown chanter: the player plays the scale once, from low G up."""

    state: Literal["running", "done", "failed"]
    next_note: str | None
    heard: int
    """How many of the nine notes are known so far."""
    said: str


@with_config(STRICT)
class CalibrationShown(TypedDict):
    """A played calibration: the delay between the click that the player hears and the note that chanterd reads."""

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
    """Its state at the end."""
    continuation: Continuation | None
    """How the tempo was kept; None where the click was on."""
    remarks: Remarks | None
    """A teacher's remarks; None if nothing was played."""


@with_config(STRICT)
class PlacementShown(TypedDict):
    """Where a player puts the beat of an ornament."""

    ornament: str
    at: str
    """``step 1``, ``step 2``, ... or ``theme``."""


@with_config(STRICT)
class SeatShown(TypedDict):
    """One chanter and what its player does; what is over stays until something else begins or another sits down."""

    seat: str
    """The seat, as every frame names it."""
    name: str
    """The name of the player who sits there."""
    player: PlayerShown
    chanter: ChanterShown
    practice: PracticeShown | None
    ended: EndedShown | None
    learning: LearningShown | None
    calibration: CalibrationShown | None
    session: SessionShown | None
    """The plan in progress, until it is over."""
    tune_run: TuneRunShown | None
    """The tune that is played, or the last one."""
    free: FreeShown
    """What was played today while nothing was chosen."""
    sounds: bool
    """Whether this seat's page sounds the click; false where it sounds at another place of a class."""
    distance_m: float
    """From the loudspeaker, metres; what the sound takes for it is taken off in a class."""
    placements: list[PlacementShown]
    """Where the player puts the beat of ornaments that teachers disagree about; what is left out is as in the book."""


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
    offers: list[ChoiceShown]
    """The MIDI ports that no seat listens to; each could be one."""
    history: HistoryShown
    standards: list[ChoiceShown]
    profiles: list[ChoiceShown]
    layouts: list[ChoiceShown]
    feedbacks: list[ChoiceShown]
    """The schedules of feedback; the first is the default."""
    standard: str
    """The default standard."""
    spread: float
    """The default spread."""
    spread_range: tuple[float, float]
    drill: str
    """The drill to offer first."""
    click_bpm: float
    """The tempo to offer first."""
    tempo_range: tuple[float, float]
    ladder: LadderRuleShown
    """The rule of a tempo ladder to offer first."""
    paces: list[PaceShown]
