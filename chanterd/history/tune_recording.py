"""A run through a tune on its way into the history, in the event loop: messages become a take, a part at a time.

A part goes to the writer every few seconds, so that hardly anything is lost if the power goes: what was cut off is
judged from its take. A run in which nothing of the tune was played leaves no trace.
"""

from collections.abc import Callable

from chanterd.hearing.track import TrackWriter
from chanterd.history.take_recording import TakeRecording
from chanterd.history.tune_record import TuneBegun, TuneEntry, TunePartPlayed, TuneRunEnded
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import NS_PER_S, Ns
from chanterd.practice.tune_run import TunePlayed

PART_NS = 5 * NS_PER_S
"""The least time from one part of the take to the next: our own choice."""


class TuneRecording(TakeRecording):
    """One run. Nothing here waits."""

    def __init__(
        self, begun: TuneBegun, begins_ns: Ns, put: Callable[[TuneEntry], None], wall: Callable[[], WallTime]
    ) -> None:
        """``begins_ns`` is when the first note is due: time 0 of the take."""
        super().__init__(
            TrackWriter(begun.passage.click_bpm, begun.lead_in_clicks), begins_ns, begun.profile, begun.calibration_ns
        )
        self._begun = begun
        self._put = put
        self._wall = wall
        self._part = 0
        self._written_ns: int | None = None

    def reached(self, at_ns: Ns) -> None:
        """A note of the tune was played."""
        if self._written_ns is None:
            self._written_ns = at_ns
        elif at_ns - self._written_ns >= PART_NS:
            self._written_ns = at_ns
            self._put(TunePartPlayed(self._begun, self._part, self._wall(), self._track.part()))
            self._part += 1

    def end(self, why: str, played: TunePlayed) -> None:
        """End the run; if nothing of the tune was played, nothing is kept."""
        if played["notes"]:
            self._put(TuneRunEnded(self._begun, self._part, self._wall(), self._track.part(), why, played))
