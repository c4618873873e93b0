"""A tune that was noticed while somebody just played: followed and judged as one that was chosen, without a click."""

from collections import deque
from collections.abc import Iterable

import mido

from chanterd.history.tune_recording import TuneRecording
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.heard import Heard
from chanterd.music.tunes.passage import clicks
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MINUTE, Bpm, Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.passage.rounds import OrnamentPlayed
from chanterd.practice.run import Tally
from chanterd.serving.seats.activity import Output
from chanterd.serving.seats.live_tune import LiveTune, bar_clicks
from chanterd.serving.wire.playing import TuneRunShown

LEFT = "left"
"""Why it ended."""
AT_ONCE = 8
"""How many notes that were played before are followed in one go: some two milliseconds of work."""


def tempo_of(tune: Tune, pairs: Iterable[tuple[int, Ns]], usual_bpm: Bpm) -> Bpm:
    """The tempo at which notes of a tune were heard, in clicks a minute; the usual one if they do not show it."""
    known = list(pairs)
    if not known:
        return usual_bpm
    (first, began), (last, ended) = known[0], known[-1]
    written = float(clicks(tune, tune.notes[last].start) - clicks(tune, tune.notes[first].start))
    if written <= 0 or ended <= began:
        return usual_bpm
    return Bpm(round(min(max(written * NS_PER_MINUTE / (ended - began), SLOWEST_BPM), FASTEST_BPM), 1))


class NoticedTune:
    """One run through a tune that nobody started. Times are with the calibration taken off."""

    def __init__(self, asked: TuneAsked, output: Output, before: Iterable[Heard], since_ns: Ns) -> None:
        """``before`` is what was heard of it until now. Takes some milliseconds: not for the event loop."""
        self.asked = asked
        self.since_ns = since_ns
        self._live = LiveTune(asked, output, since_ns)
        self._waiting = deque(before)
        self._begun = False

    @property
    def shown(self) -> TuneRunShown:
        """The run as a page draws it; nobody counts its rounds."""
        grid = self._live.grid(self.since_ns, 0, bar_clicks(self.asked.passage.tune.meter))
        return self._live.shown(grid, Tally(), noticed=True)

    def record(self, recording: TuneRecording | None, messages: Iterable[tuple[mido.Message, Ns]]) -> None:
        """Where it is kept, with what was sent up to now, before the calibration is taken off; None: nowhere."""
        self._live.recording = recording
        for message, at_ns in messages:
            if recording is None or recording.corrected(at_ns) >= self.since_ns:
                self.take(message, at_ns)

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """A message came in, before the calibration is taken off."""
        self._live.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Take what is heard next; while something from before waits, it waits behind that."""
        self._live.silent(heard)
        if not self._live.full:
            self._waiting.append(heard)
            if self._begun:
                self._follow()

    def tick(self, now_ns: Ns) -> None:
        """Follow what was played before it was noticed, a little at a time; show it once that is done."""
        for _ in range(min(AT_ONCE, len(self._waiting))):
            self._follow()
        if self._waiting:
            return
        if not self._begun:
            self._begun = True
            self.publish()
        for event in self._live.rounds.tick(Ns(now_ns - self.since_ns)):
            if isinstance(event, OrnamentPlayed):
                self._live.send_ornament(event)

    def _follow(self) -> None:
        self._live.follow(self._waiting.popleft(), show=self._begun)

    def leave(self) -> None:
        """It is played no longer: what is left is followed with ``judge``."""
        self._live.going = False

    def judge(self) -> None:
        """Judge all that was played of it, and keep it. Takes a millisecond a bar: not for the event loop."""
        while self._waiting:
            self._live.follow(self._waiting.popleft(), show=False)
        self._live.judge(LEFT)

    def publish(self) -> None:
        """Send the run as it is."""
        self._live.publish(self.shown)
