"""The ornaments of a passage as reps: what a schedule of feedback, the strip and hearing yourself are about.

A drill has one ornament a rep. In a passage each ornament is one, in the order in which they are played, from 0.
"""

from collections import deque
from dataclasses import dataclass, field

from chanterd.judging.report import RepResult, rep_result
from chanterd.judging.tunes.judge import said_of
from chanterd.judging.verdict import Verdict
from chanterd.music.segment import Segment
from chanterd.practice.feedback.feedback import Feedback
from chanterd.practice.feedback.schedule import MOST_REPS, Schedule
from chanterd.practice.passage.rounds import OrnamentPlayed
from chanterd.practice.run import RepEvent, Tally


@dataclass(slots=True)
class OrnamentReps:
    """Numbers the ornaments, and holds them against the player's schedule."""

    schedule: Schedule
    on_beat_within_ns: float
    feedback: Feedback = field(init=False)
    _tally: Tally = field(init=False, default_factory=Tally)
    _number: int = field(init=False, default=0)
    _asked: deque[tuple[int, Segment]] = field(init=False, default_factory=lambda: deque(maxlen=MOST_REPS + 1))

    def __post_init__(self) -> None:
        self.feedback = Feedback(self.schedule, self, self.on_beat_within_ns)

    def segment(self, turn: int) -> Segment:
        """What was to be played in one of the last reps."""
        return next(one for number, one in self._asked if number == turn)

    def take(self, played: OrnamentPlayed) -> tuple[Segment, RepResult] | None:
        """An ornament is over: what was to be played, and what was; None for a note without one."""
        judged, segment = played.note.judged, played.note.segment
        if judged is None:
            return None
        self._asked.append((self._number, segment))
        self._tally.add(Verdict(judged.verdict.clean, ()))
        result = rep_result(judged, said_of(judged))
        result["rep"] = self._number
        rep = judged.seen.rep
        tally = Tally(self._tally.played, self._tally.clean, self._tally.in_a_row)
        self.feedback.take(RepEvent((rep.lead, *rep.steps), result, tally))
        self._number += 1
        return segment, result
