"""Free playing on its way into the history, in the event loop: messages and ornaments, a part at a time.

An ornament waits a while before it goes to the writer: a tune is noticed some bars after it began, and then its first
ornaments are counted as the tune's. What was played without any ornament leaves no trace.
"""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from chanterd.hearing.track import TrackWriter
from chanterd.history.free_record import WRITTEN_BPM, FreeBegun, FreePartPlayed, WaysPlayed, since
from chanterd.history.take_recording import TakeRecording
from chanterd.history.wall_clock import WallTime
from chanterd.listening.judged import ShapeJudged
from chanterd.listening.report import HeardOrnament
from chanterd.music.units import NS_PER_MS, NS_PER_S, Ns

PART_NS = 10 * NS_PER_S
"""The least time from one part to the next: our own choice."""
WAITS_NS = 20 * NS_PER_S
"""How long an ornament waits before it is written, some bars of a tune: our own choice."""
LONGEST_NS = 30 * 60 * NS_PER_S
"""After that another run begins, so that no take gets too long to look at: our own choice."""


@dataclass(slots=True)
class _Waiting:
    judged: ShapeJudged
    heard: HeardOrnament
    in_tune: bool


class FreeRecording(TakeRecording):
    """One run of free playing. Nothing here waits."""

    def __init__(
        self, begun: FreeBegun, begins_ns: Ns, put: Callable[[FreePartPlayed], None], wall: Callable[[], WallTime]
    ) -> None:
        """``begins_ns`` is time 0 of the take."""
        super().__init__(TrackWriter(WRITTEN_BPM), begins_ns, begun.profile, begun.calibration_ns)
        self._begun = begun
        self._put = put
        self._wall = wall
        self._waiting: deque[_Waiting] = deque()
        self._ways = WaysPlayed()
        self._part = 0
        self._written_ns = begins_ns

    def too_long(self, now_ns: Ns) -> bool:
        """Whether another one is to begin at the next rest."""
        return now_ns - self._begins_ns > LONGEST_NS

    def ornament(self, judged: ShapeJudged, heard: HeardOrnament, *, in_tune: bool) -> None:
        """Record an ornament that is final."""
        self._waiting.append(_Waiting(judged, since(heard, self._begins_ns / NS_PER_MS), in_tune))

    def in_tune(self, since_ns: Ns) -> None:
        """A tune was noticed that began then: what is in it is counted there too."""
        for one in self._waiting:
            one.in_tune = one.in_tune or one.judged.start_ns >= since_ns

    def tick(self, now_ns: Ns) -> None:
        """Let time pass."""
        if now_ns - self._written_ns >= PART_NS:
            self._written_ns = now_ns
            due = []
            while self._waiting and now_ns - self._waiting[0].judged.start_ns >= WAITS_NS:
                due.append(self._waiting.popleft())
            if due:
                self._write(due, None)

    def end(self, why: str) -> None:
        """End the run; if no ornament was played, nothing is kept."""
        if self._part or self._waiting:
            self._write(list(self._waiting), why)
            self._waiting.clear()

    def _write(self, due: list[_Waiting], why: str | None) -> None:
        for one in due:
            self._ways.add(one.judged, in_tune=one.in_tune)
        heard = tuple(one.heard for one in due)
        part = FreePartPlayed(self._begun, self._part, self._wall(), self._track.part(), heard, self._ways.rows(), why)
        self._part += 1
        self._put(part)
