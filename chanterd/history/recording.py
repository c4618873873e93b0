"""A run on its way into the history, in the event loop: messages become a take, and closed reps go to the writer.

A rep in which nothing was played waits until one is played: so a rest at the end of a run leaves no trace, and
neither does a run in which nothing was played.
"""

from collections.abc import Callable

from chanterd.hearing.track import TrackWriter
from chanterd.history.record import Entry, RepsClosed, RunBegun, RunEnded
from chanterd.history.take_recording import TakeRecording
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.music.units import Ns


class Recording(TakeRecording):
    """One run. Nothing here waits."""

    def __init__(
        self, begun: RunBegun, beat0_ns: Ns, put: Callable[[Entry], None], wall: Callable[[], WallTime]
    ) -> None:
        super().__init__(
            TrackWriter(begun.exercise.click_bpm, begun.lead_in_clicks), beat0_ns, begun.profile, begun.calibration_ns
        )
        self._begun = begun
        self._put = put
        self._wall = wall
        self._rests: list[RepResult] = []
        self._stored = False

    @property
    def key(self) -> str:
        """What the run goes by before it has a number."""
        return self._begun.key

    def rep(self, result: RepResult) -> None:
        """Record a rep that is over."""
        self._rests.append(result)
        if result["skipped"]:
            return
        self._put(RepsClosed(self._begun, tuple(self._rests), self._wall(), self._track.part()))
        self._rests.clear()
        self._stored = True

    def end(self, why: str) -> None:
        """End the run."""
        if self._stored:
            self._put(RunEnded(self._begun, why, self._track.part()))
