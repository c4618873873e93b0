"""A run on its way into the history, in the event loop: messages become a take, and closed reps go to the writer.

A rep in which nothing was played waits until one is played: so a rest at the end of a run leaves no trace, and
neither does a run in which nothing was played.
"""

from collections.abc import Callable

import mido

from chanterd.hearing.track import ALL_SOUND_OFF, TrackWriter
from chanterd.history.record import Entry, RepsClosed, RunBegun, RunEnded
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.music.units import Ns


class Recording:
    """One run. Nothing here waits."""

    def __init__(
        self, begun: RunBegun, beat0_ns: Ns, put: Callable[[Entry], None], wall: Callable[[], WallTime]
    ) -> None:
        self._begun = begun
        self._beat0_ns = beat0_ns
        self._put = put
        self._wall = wall
        self._track = TrackWriter(begun.exercise.click_bpm, begun.lead_in_clicks)
        self._rests: list[RepResult] = []
        self._stored = False
        self._last_ns: int | None = None  # of the last message, with the calibration subtracted

    @property
    def key(self) -> str:
        """What the run goes by before it has a number."""
        return self._begun.key

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record a message with the daemon's own time stamp, before any calibration is subtracted."""
        self._last_ns = at_ns - (self._begun.calibration_ns or 0)
        self._track.add(message, self._last_ns - self._beat0_ns)

    def silence(self, at_ns: Ns) -> None:
        """Record that the chanter fell silent, if no message says so, as when it is unplugged."""
        if at_ns != self._last_ns:
            off = mido.Message("control_change", control=ALL_SOUND_OFF, channel=(self._begun.profile.channel or 1) - 1)
            self._track.add(off, at_ns - self._beat0_ns)

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
