"""A run through a tune while it is played at a seat, whoever began it: followed, judged, shown and kept."""

from math import ceil

import mido

from chanterd.history.tune_recording import TuneRecording
from chanterd.music.heard import Heard, Silence
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import click_of
from chanterd.music.tunes.tune import Meter
from chanterd.music.units import Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.passage.reps import OrnamentReps
from chanterd.practice.passage.rounds import OrnamentPlayed, Rounds
from chanterd.practice.run import Tally
from chanterd.practice.tune_run import TuneRun, from_beat0
from chanterd.serving.seats.activity import Output
from chanterd.serving.wire.grid import GridShown
from chanterd.serving.wire.playing import (
    CursorFrame,
    TuneFeedbackFrame,
    TuneFrame,
    TuneLadderShown,
    TuneResult,
    TuneRunShown,
    ornament_frame,
    places_of,
)

MOST_ONSETS = 20_000
"""No more than this is followed: more than an hour of playing. Our own choice."""
BAR_CLICKS = 4
"""In free time."""


def bar_clicks(meter: Meter | None) -> int:
    """How many clicks a bar has, one that is begun counted whole."""
    return BAR_CLICKS if meter is None else ceil(meter.bar / click_of(meter))


class LiveTune:
    """One run on one seat. It begins at ``begins_ns``; times are with the calibration taken off."""

    recording: TuneRecording | None = None
    """Its place in the history; None: it is not kept."""

    def __init__(self, asked: TuneAsked, output: Output, begins_ns: Ns) -> None:
        """Takes some milliseconds for a long tune."""
        self.asked = asked
        self.begins_ns = begins_ns
        self.going = True
        self.run = TuneRun(
            asked.passage,
            asked.book,
            asked.standard,
            standard_spread(),
            asked.click_bpm,
            asked.click_off,
            asked.asked,
        )
        self.rounds = Rounds(self.run)
        self._ornaments = OrnamentReps(asked.feedback, asked.standard.beat_within_ns(self.run.click_ns))
        self._output = output
        self._stamp_ns = begins_ns
        self._result: TuneResult | None = None

    @property
    def full(self) -> bool:
        """Whether nothing more of it is followed."""
        return len(self.run.follower.at) >= MOST_ONSETS

    def grid(self, beat0_ns: Ns, count_in: int, clicks_per_rep: int) -> GridShown:
        """Its click, for the pages."""
        return GridShown(
            beat0_ns=beat0_ns,
            click_bpm=self.asked.click_bpm,
            count_in=count_in,
            clicks_per_rep=clicks_per_rep,
            ornament_beat=0,
            click_off=self.asked.click_off,
        )

    def shown(
        self, grid: GridShown, tally: Tally, ladder: TuneLadderShown | None = None, *, noticed: bool = False
    ) -> TuneRunShown:
        """The run as a page draws it; ``tally`` has its rounds."""
        asked, at = self.asked, self.run.at
        return TuneRunShown(
            tune=asked.key,
            title=asked.title,
            first=asked.passage.first,
            last=asked.passage.last,
            passage=asked.excerpt.words,
            width=asked.excerpt.width.value,
            ornament=asked.excerpt.of,
            stage=asked.stage,
            stages=asked.stages,
            standard=asked.standard.name,
            on_beat_ms=asked.standard.on_beat_ms(asked.click_bpm),
            grid=grid,
            begins_ns=self.begins_ns,
            going=self.going,
            noticed=noticed,
            cursor=None if at is None else at[0],
            rounds=tally.played,
            clean=tally.clean,
            in_a_row=tally.in_a_row,
            ladder=ladder,
            feedback=self._ornaments.feedback.shown,
            result=self._result,
        )

    def publish(self, shown: TuneRunShown) -> None:
        """Send the run as it is."""
        self._output.publish(TuneFrame(kind="tune", seat=self._output.seat, tune_run=shown))

    def guess(self, rep: int, word: str) -> None:
        """The player's guess about an ornament. Raises ChanterdError if it is not the one to guess about."""
        self._ornaments.feedback.guess(rep, word)
        self._send_feedback()

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record a message, and note when it was stamped, before the calibration is taken off."""
        self._stamp_ns = at_ns
        if self.recording is not None:
            self.recording.take(message, at_ns)

    def silent(self, heard: Heard) -> None:
        """Record it if the chanter fell silent."""
        if isinstance(heard, Silence) and self.recording is not None:
            self.recording.silence(heard.at_ns)

    def follow(self, heard: Heard, *, show: bool = True) -> None:
        """Follow, and send where the player is if they came to another note or gracenote."""
        before = self.run.follower.latest
        self.run.hear(from_beat0(heard, self.begins_ns))
        at = self.run.at
        if not show or self.run.follower.latest is before or at is None:
            return
        if self.recording is not None:
            self.recording.reached(heard.at_ns)
        note, step = at
        self._output.publish(
            CursorFrame(
                kind="cursor",
                seat=self._output.seat,
                note=note,
                step=step,
                heard_ns=self._stamp_ns,
                sent_ns=self._output.clock(),
            )
        )

    def send_ornament(self, event: OrnamentPlayed) -> None:
        """Send an ornament that is over."""
        rep = self._ornaments.take(event)
        if rep is None:
            return
        self._send_feedback()  # first, so that no page shows for a moment what is held back
        self._output.publish(ornament_frame(self._output.seat, event, *rep))

    def _send_feedback(self) -> None:
        if not self._ornaments.feedback.schedule.shows_all:
            shown = self._ornaments.feedback.shown
            self._output.publish(TuneFeedbackFrame(kind="tune feedback", seat=self._output.seat, feedback=shown))

    def show_all(self) -> None:
        """It is over: nothing is held back any more."""
        self._ornaments.feedback.end()

    def judge(self, why: str) -> None:
        """Judge all that was played of it, and keep it with why it ended. Takes a millisecond a bar."""
        found = self.run.found()
        if found["notes"]:
            self._result = TuneResult(summary=found["summary"], places=places_of(found["notes"]))
        if self.recording is not None:
            self.recording.end(why, found)
