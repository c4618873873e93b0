"""A tune that was noticed while somebody just played: followed and judged as one that was chosen, without a click."""

from collections import deque
from collections.abc import Iterable
from math import ceil

import mido

from chanterd.history.tune_recording import TuneRecording
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.heard import Heard
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import click_of, clicks
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import NS_PER_MINUTE, Bpm, Ns
from chanterd.practice.feedback.schedule import EVERY_REP
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.passage.reps import OrnamentReps
from chanterd.practice.passage.rounds import OrnamentPlayed, Rounds
from chanterd.practice.tune_run import TuneRun, from_beat0
from chanterd.serving.seats.activity import Output
from chanterd.serving.wire.grid import GridShown
from chanterd.serving.wire.playing import (
    CursorFrame,
    TuneFrame,
    TuneResult,
    TuneRunShown,
    ornament_frame,
    places_of,
)

LEFT = "left"
"""Why it ended."""
MOST_ONSETS = 20_000
"""After more than an hour of playing the rest is not followed."""
AT_ONCE = 8
"""So many notes that were played before are followed in one go: some two milliseconds of work."""
BAR_CLICKS = 4
"""In free time."""


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

    _recording: TuneRecording | None = None
    """Its place in the history; None: it is not kept."""

    def __init__(self, asked: TuneAsked, output: Output, before: Iterable[Heard], since_ns: Ns) -> None:
        """``before`` is what was heard of it until now. Takes some milliseconds: not for the event loop."""
        self.asked = asked
        self.since_ns = since_ns
        self._output = output
        self._waiting = deque(before)
        self.run = TuneRun(
            asked.passage,
            asked.book,
            asked.standard,
            standard_spread(),
            asked.click_bpm,
            click_off=True,
        )
        self._rounds = Rounds(self.run)
        self._ornaments = OrnamentReps(EVERY_REP, asked.standard.beat_within_ns(self.run.click_ns))
        self._going = True
        self._begun = False
        self._result: TuneResult | None = None

    @property
    def shown(self) -> TuneRunShown:
        """The run as a page draws it."""
        asked, at = self.asked, self.run.at
        meter = asked.passage.tune.meter
        return TuneRunShown(
            tune=asked.key,
            title=asked.title,
            first=asked.passage.first,
            last=asked.passage.last,
            passage=asked.excerpt.words,
            width=asked.excerpt.width.value,
            ornament=None,
            stage=None,
            stages=1,
            standard=asked.standard.name,
            on_beat_ms=asked.standard.on_beat_ms(asked.click_bpm),
            grid=GridShown(
                beat0_ns=self.since_ns,
                click_bpm=asked.click_bpm,
                count_in=0,
                clicks_per_rep=BAR_CLICKS if meter is None else ceil(meter.bar / click_of(meter)),
                ornament_beat=0,
                click_off=True,
            ),
            begins_ns=self.since_ns,
            going=self._going,
            noticed=True,
            cursor=None if at is None else at[0],
            rounds=0,
            clean=0,
            in_a_row=0,
            ladder=None,
            feedback=self._ornaments.feedback.shown,
            result=self._result,
        )

    def record(self, recording: TuneRecording | None, messages: Iterable[tuple[mido.Message, Ns]]) -> None:
        """Where it is kept, with what was sent up to now, before the calibration is taken off; None: nowhere."""
        self._recording = recording
        for message, at_ns in messages:
            if at_ns >= self.since_ns:
                self.take(message, at_ns)

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """A message came in, before the calibration is taken off."""
        if self._recording is not None:
            self._recording.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Take what is heard next; it is followed with the next tick."""
        if len(self.run.follower.at) < MOST_ONSETS:
            self._waiting.append(heard)
            if self._begun and len(self._waiting) == 1:
                self._follow()

    def tick(self, now_ns: Ns) -> None:
        """Follow what was played before it was noticed, a little at a time; show it once that is done."""
        for _ in range(AT_ONCE):
            if self._waiting:
                self._follow()
        if self._waiting:
            return
        if not self._begun:
            self._begun = True
            self.publish()
        for event in self._rounds.tick(Ns(now_ns - self.since_ns)):
            rep = self._ornaments.take(event) if isinstance(event, OrnamentPlayed) else None
            if isinstance(event, OrnamentPlayed) and rep is not None:
                self._output.publish(ornament_frame(self._output.seat, event, *rep))

    def _follow(self) -> None:
        heard = self._waiting.popleft()
        before = self.run.follower.latest
        self.run.hear(from_beat0(heard, self.since_ns))
        at = self.run.at
        if not self._begun or self.run.follower.latest is before or at is None:
            return
        if self._recording is not None:
            self._recording.reached(heard.at_ns)
        note, step = at
        self._output.publish(
            CursorFrame(
                kind="cursor",
                seat=self._output.seat,
                note=note,
                step=step,
                heard_ns=heard.at_ns,
                sent_ns=self._output.clock(),
            )
        )

    def leave(self) -> None:
        """It is played no longer: what is left is followed with ``judge``."""
        self._going = False

    def judge(self) -> None:
        """Judge all that was played of it, and keep it. Takes a millisecond a bar: not for the event loop."""
        while self._waiting:
            self.run.hear(from_beat0(self._waiting.popleft(), self.since_ns))
        found = self.run.found()
        if found["notes"]:
            self._result = TuneResult(summary=found["summary"], places=places_of(found["notes"]))
        if self._recording is not None:
            self._recording.end(LEFT, found)

    def publish(self) -> None:
        """Send the run as it is."""
        self._output.publish(TuneFrame(kind="tune", seat=self._output.seat, tune_run=self.shown))
