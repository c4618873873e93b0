"""Frames about a tune that is played, as a daemon sends them, for a page of the stand-in's."""

from functools import cache
from typing import Any

from chanterd.music.tunes.passage import make_passage
from chanterd.practice.feedback.feedback import Feedback
from chanterd.practice.feedback.schedule import EVERY_REP
from chanterd.practice.passage.reps import OrnamentReps
from chanterd.practice.passage.rounds import OrnamentPlayed
from chanterd.serving.wire.playing import TuneOrnamentFrame, ornament_frame
from tests.bench.tune_performances import CONDITIONS, sample, shipped

REPS = OrnamentReps(EVERY_REP, 30e6)
NO_FEEDBACK = Feedback(EVERY_REP, REPS, 30e6).shown
"""Every ornament is shown."""

PLAIN: dict[str, Any] = {
    "passage": "the whole tune",
    "width": "tune",
    "ornament": None,
    "stage": None,
    "stages": 1,
    "on_beat_ms": 40.0,
    "rounds": 0,
    "clean": 0,
    "in_a_row": 0,
    "ladder": None,
    "feedback": NO_FEEDBACK,
}
"""What a run through a whole tune has that is on no ladder."""


@cache
def _played() -> dict[int, OrnamentPlayed]:
    """The ornaments of the jig, by their notes, as a simulated player played them once."""
    run = sample("seven-gulls", CONDITIONS["clean"], 1, make_passage(shipped("seven-gulls"))).run()
    return {one.result["note"]: OrnamentPlayed(one, 0) for one in run.since(0) if one.judged is not None}


def tune_ornament(note: int, *, clean: bool = True, said: str = "Clean.", rep: int = 0) -> TuneOrnamentFrame:
    """The frame about the ornament on that note; what is said of it is made up."""
    event = _played()[note]
    taken = REPS.take(event)
    assert taken is not None
    segment, result = taken
    return ornament_frame("one", event, segment, {**result, "rep": rep, "clean": clean, "said": said})
