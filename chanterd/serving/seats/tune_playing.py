"""The activity of playing a tune, or a passage of it over and over, until it is stopped."""

import logging
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import partial
from math import ceil

import mido

from chanterd.hearing.cued import Timed
from chanterd.hearing.simulated_tune import LEARNER, TunePlayer
from chanterd.hearing.source import Cue
from chanterd.history.tune_recording import TuneRecording
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Silence
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.passage import click_of, within_bar
from chanterd.music.units import Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.passage.reps import OrnamentReps
from chanterd.practice.passage.rounds import OrnamentPlayed, PassageEvent, RoundPlayed, Rounds
from chanterd.practice.run import COUNT_IN_CLICKS, Tally
from chanterd.practice.tune_run import TuneRun, from_beat0
from chanterd.serving.seats.activity import LEAD_IN_NS, STOPPED, Output
from chanterd.serving.wire.grid import GridShown
from chanterd.serving.wire.playing import (
    CursorFrame,
    TuneFeedbackFrame,
    TuneFrame,
    TuneLadderShown,
    TuneResult,
    TuneRoundFrame,
    TuneRunShown,
    ornament_frame,
    places_of,
)

LOG = logging.getLogger(__name__)

NEXT_NOTCH = "the ladder went on"
"""Why a run on one notch ended."""
PREPARED = 40
"""Ways through the tune that are worked out at each tick of the count-in: under a millisecond's work."""
MOST_ONSETS = 20_000
"""A run ends by itself after this many: more than an hour of playing."""
SIMULATED_ONSETS = 2000
"""The simulated player plays this many in a row at most."""
WANDERS = 0.04
"""By what share of itself the simulated player's tempo goes up and down without a click."""
BAR_CLICKS = 4
"""In free time."""


RecordTune = Callable[[TuneAsked, Ns], TuneRecording]
"""Gives a run its place in the history, by when its first note is due."""


def go_on(_: RoundPlayed) -> bool:
    """For a run that no round ends."""
    return True


def no_ladder() -> TuneLadderShown | None:
    """For a run that is not on a ladder."""
    return None


class TunePlaying:
    """One run through a tune, or a passage of it, on one seat."""

    corrected = True

    def __init__(
        self,
        asked: TuneAsked,
        output: Output,
        record: RecordTune,
        counted_in_ns: Ns | None = None,
        judged: Callable[[RoundPlayed], bool] = go_on,
        ladder: Callable[[], TuneLadderShown | None] = no_ladder,
    ) -> None:
        """Begin after a count-in that leads to the first note where it is in its bar.

        ``counted_in_ns`` is when the count-in begins; left out, at once. ``judged`` hears of every round; False:
        nothing more of this run counts. ``ladder`` is where the ladder is that it belongs to.
        """
        self.asked = asked
        self._output = output
        self._judged = judged
        self._ladder = ladder
        passage = asked.passage
        bar, within = within_bar(passage.tune, passage.notes[0].start)
        click = click_of(bar.meter)
        self._bar_clicks = BAR_CLICKS if bar.meter is None else ceil(bar.meter.bar / click)
        first_beat = float(within / click)
        first_beat -= self._bar_clicks if first_beat else 0
        self._count_in = COUNT_IN_CLICKS + ceil(-first_beat)
        at_once = TempoGrid(asked.click_bpm, counted_in_ns or Ns(output.clock() + LEAD_IN_NS))
        self._grid = TempoGrid(asked.click_bpm, at_once.at(self._count_in))
        self._begins_ns = self._grid.at(first_beat)
        self.run = TuneRun(
            *(passage, asked.book, asked.standard, standard_spread(), asked.click_bpm, asked.click_off), asked.asked
        )
        self._recording = record(asked, self._begins_ns)
        self._rounds = Rounds(self.run)
        within_ns = asked.standard.beat_within_ns(self._grid.click_ns)
        self._ornaments = OrnamentReps(asked.feedback, within_ns)
        self._stamp_ns = self._begins_ns
        self._going = True
        self._over = False
        """Whether what is heard counts no longer, though the run is not put away yet."""
        self._result: TuneResult | None = None

    @property
    def tally(self) -> Tally:
        """The rounds so far."""
        return self._rounds.tally

    @property
    def grid(self) -> TempoGrid:
        """Its click."""
        return self._grid

    def guess(self, rep: int, word: str) -> None:
        """The player's guess about an ornament. Raises ChanterdError if it is not the one to guess about."""
        self._ornaments.feedback.guess(rep, word)
        self._send_feedback()

    @property
    def cue(self) -> Cue:
        """The passage, for the inputs that perform."""
        run = self.run
        rounds = max(1, SIMULATED_ONSETS // len(run.follower.graph.events)) if run.passage.loops else 1
        length = Ns(max(1, round(run.score.length * run.click_ns)))
        return Cue(self._begins_ns, length, (), performance=partial(_simulated, run, rounds))

    @property
    def shown(self) -> TuneRunShown:
        """The run as a page draws it."""
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
            grid=GridShown(
                beat0_ns=self._grid.beat0_ns,
                click_bpm=asked.click_bpm,
                count_in=self._count_in,
                clicks_per_rep=self._bar_clicks,
                ornament_beat=0,
                click_off=asked.click_off,
            ),
            begins_ns=self._begins_ns,
            going=self._going,
            noticed=False,
            cursor=None if at is None else at[0],
            rounds=self.tally.played,
            clean=self.tally.clean,
            in_a_row=self.tally.in_a_row,
            ladder=self._ladder(),
            feedback=self._ornaments.feedback.shown,
            result=self._result,
        )

    def begin(self) -> None:
        """Send the click and what is to be played."""
        asked = self.asked
        LOG.info("Seat %s began %s at %g clicks a minute.", self._output.seat, asked.words, asked.click_bpm)
        self._publish()

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record it, and note when it was stamped."""
        self._stamp_ns = at_ns
        self._recording.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Follow, and send where the player is."""
        if isinstance(heard, Silence):
            self._recording.silence(heard.at_ns)
        follower = self.run.follower
        if self._over or len(follower.at) >= MOST_ONSETS or self.run.before_it(heard, self._begins_ns):
            return
        before = follower.latest
        self.run.hear(from_beat0(heard, self._begins_ns))
        latest = follower.latest
        at = self.run.at
        if latest is before or at is None:
            return
        self._recording.reached(heard.at_ns)
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

    def tick(self, now_ns: Ns) -> bool:
        """Send what is over, ornaments and rounds; a run goes on until it is stopped, or is far too long."""
        if now_ns < self._begins_ns:
            self.run.prepare(PREPARED)
        if not self._over:
            self._send(self._rounds.tick(Ns(now_ns - self._begins_ns)))
        if len(self.run.follower.at) < MOST_ONSETS:
            return True
        self.finish()
        return False

    def finish(self) -> None:
        """Judge all that was played, and end."""
        self._close("the input ended")

    def end(self, why: str = STOPPED) -> None:
        """Judge all that was played, and end."""
        self._close(why)

    def leave(self) -> None:
        """Keep it, and send nothing of it any more: the practice goes on with another run."""
        self._over, self._going = True, False
        self._judge(NEXT_NOTCH)

    def _send(self, events: Iterable[PassageEvent]) -> None:
        for event in events:
            if isinstance(event, OrnamentPlayed):
                self._send_ornament(event)
                continue
            self._over = not self._judged(event)
            self._output.publish(
                TuneRoundFrame(
                    kind="tune round",
                    seat=self._output.seat,
                    round=event.round,
                    clean=event.clean,
                    said=event.said,
                    clean_count=event.clean_count,
                    played_count=event.played_count,
                    in_a_row=event.in_a_row,
                    ladder=self._ladder(),
                )
            )
            if self._over:
                return

    def _send_ornament(self, event: OrnamentPlayed) -> None:
        rep = self._ornaments.take(event)
        if rep is None:
            return
        self._send_feedback()  # first, so that no page shows for a moment what is held back
        self._output.publish(ornament_frame(self._output.seat, event, *rep))

    def _send_feedback(self) -> None:
        if not self._ornaments.feedback.schedule.shows_all:
            shown = self._ornaments.feedback.shown
            self._output.publish(TuneFeedbackFrame(kind="tune feedback", seat=self._output.seat, feedback=shown))

    def _close(self, why: str) -> None:
        if not self._over:
            self._send(self._rounds.finish())
        self._ornaments.feedback.end()
        if self._going:  # of one that was left, all is kept already
            self._judge(why)
        self._over, self._going = True, False
        LOG.info("Seat %s ended %s: %s.", self._output.seat, self.asked.words, why)
        self._publish()

    def _judge(self, why: str) -> None:
        found = self.run.found()
        self._recording.end(why, found)
        if found["notes"]:
            self._result = TuneResult(summary=found["summary"], places=places_of(found["notes"]))

    def _publish(self) -> None:
        self._output.publish(TuneFrame(kind="tune", seat=self._output.seat, tune_run=self.shown))


def _simulated(run: TuneRun, rounds: int, seed: int) -> Iterator[Timed]:
    """The simulated player at the passage, that many times through."""
    habits = replace(LEARNER, wander=WANDERS) if run.click_off else LEARNER
    yield from TunePlayer(run.passage, run.score, run.click_ns, seed, habits).play(rounds).messages
