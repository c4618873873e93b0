"""Every frame the daemon sends to a page, as typed dictionaries; :mod:`chanterd.serving.wire.shapes` has their parts.

Goal: one description that mypy checks, that gives the JSON Schema, and that costs nothing when a frame is sent.
"""

from functools import cache
from typing import Any, Literal, NotRequired

from pydantic import TypeAdapter, with_config
from typing_extensions import TypedDict

from chanterd.judging.continuation import Continuation
from chanterd.judging.report import STRICT, RepResult, Timing
from chanterd.judging.teacher import Remarks
from chanterd.practice.feedback.feedback import FeedbackShown
from chanterd.serving.wire.band import BandFrame
from chanterd.serving.wire.free import FreeFrame, OrnamentFrame
from chanterd.serving.wire.klass import ClassFrame, SoundFrame
from chanterd.serving.wire.playing import CursorFrame, TuneFeedbackFrame, TuneFrame, TuneOrnamentFrame, TuneRoundFrame
from chanterd.serving.wire.segments import SegmentFrame
from chanterd.serving.wire.shapes import (
    CalibrationShown,
    ChanterShown,
    ChoiceShown,
    HistoryShown,
    LadderShown,
    LearningShown,
    PracticeShown,
    SeatShown,
    SessionShown,
    StateShown,
)
from chanterd.serving.wire.wall import WallFrame


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
    """A teacher's remarks on the run that ended, if anything was played."""


@with_config(STRICT)
class LadderFrame(TypedDict):
    """The tempo ladder after a rep; a ``grid`` frame follows when the tempo changes."""

    kind: Literal["ladder"]
    seat: str
    ladder: LadderShown


@with_config(STRICT)
class SessionFrame(TypedDict):
    """The state of the plan; sent at least once a second while it runs."""

    kind: Literal["session"]
    seat: str
    session: SessionShown


@with_config(STRICT)
class NoteFrame(TypedDict):
    """What sounds now; note None is silence. ``midi`` is set if the number is not a chanter note."""

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
    """The stamp of the latest MIDI message, usually the one that showed this."""
    sent_ns: int
    step: int
    note: str
    step_kind: Literal["quick", "held", "theme", "lead"]


@with_config(STRICT)
class RepFrame(RepResult):
    """The verdict on a rep, sent twice: about 250 ms after the theme note as read so far, and then for good.

    The first one is not sent if the rep is kept back, or if it closes sooner.
    """

    kind: Literal["rep"]
    seat: str
    final: bool
    """False: provisional; the counts hold if it stays. The final one equals that of ``assess``."""
    in_a_row: int
    clean_count: int
    played_count: int
    heard_ns: int
    sent_ns: int


@with_config(STRICT)
class FeedbackFrame(TypedDict):
    """What may be shown of the run has changed: sent before the ``rep`` that changes it, after a guess, at the end.

    A schedule that keeps nothing back never sends it.
    """

    kind: Literal["feedback"]
    seat: str
    feedback: FeedbackShown


@with_config(STRICT)
class DoubtFrame(TypedDict):
    """A warning that the run's figures may mean nothing from now on; empty if they can be trusted again."""

    kind: Literal["doubt"]
    seat: str
    doubt: str


@with_config(STRICT)
class ChanterFrame(TypedDict):
    """The chanter was plugged in or unplugged, changed its profile, ..."""

    kind: Literal["chanter"]
    seat: str
    chanter: ChanterShown


@with_config(STRICT)
class SeatsFrame(TypedDict):
    """A seat was added or taken away: all that there are now, as in the state. Sent to no page of one seat."""

    kind: Literal["seats"]
    seats: list[SeatShown]


@with_config(STRICT)
class OfferFrame(TypedDict):
    """The MIDI ports that no seat listens to have changed. Sent to no page of one seat."""

    kind: Literal["offer"]
    offers: list[ChoiceShown]


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
    """chanterd cannot write the history, or can again."""

    kind: Literal["history"]
    history: HistoryShown


@with_config(STRICT)
class ResyncFrame(TypedDict):
    """The viewer must start again from this state.

    It was too slow and lost frames (never a ``rep``), or (``lost`` is 0) something has changed that no other frame
    shows: the list of profiles, who sits at a seat.
    """

    kind: Literal["resync"]
    lost: int
    state: StateShown


@with_config(STRICT)
class ErrorFrame(TypedDict):
    """The page's frame could not be understood, or the daemon has an internal error: one sentence for a person."""

    kind: Literal["error"]
    said: str


Frame = (
    HelloFrame
    | ClockFrame
    | GridFrame
    | SegmentFrame
    | LadderFrame
    | SessionFrame
    | NoteFrame
    | StepFrame
    | RepFrame
    | FeedbackFrame
    | DoubtFrame
    | ChanterFrame
    | SeatsFrame
    | OfferFrame
    | LearningFrame
    | CalibrationFrame
    | HistoryFrame
    | ResyncFrame
    | ErrorFrame
    | OrnamentFrame
    | FreeFrame
    | BandFrame
    | ClassFrame
    | SoundFrame
    | WallFrame
    | TuneFrame
    | CursorFrame
    | TuneOrnamentFrame
    | TuneFeedbackFrame
    | TuneRoundFrame
)


@cache
def frames_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of every frame, as the daemon serves it at ``/frames.schema.json``."""
    schema = TypeAdapter[Frame](Frame).json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "chanterd live frames", **schema}
