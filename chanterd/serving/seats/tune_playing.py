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
from chanterd.music.heard import Heard
from chanterd.music.tunes.passage import click_of, within_bar
from chanterd.music.units import Ns
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.passage.rounds import OrnamentPlayed, PassageEvent, RoundPlayed
from chanterd.practice.run import COUNT_IN_CLICKS, Tally
from chanterd.practice.tune_run import TuneRun
from chanterd.serving.seats.activity import LEAD_IN_NS, STOPPED, Output
from chanterd.serving.seats.live_tune import LiveTune, bar_clicks
from chanterd.serving.wire.playing import TuneLadderShown, TuneRoundFrame, TuneRunShown

LOG = logging.getLogger(__name__)

NEXT_NOTCH = "the ladder went on"
"""Why a run on one notch ended."""
PREPARED = 40
"""Ways through the tune that are worked out at each tick of the count-in: under a millisecond's work."""
SIMULATED_ONSETS = 2000
"""The simulated player plays this many in a row at most."""
WANDERS = 0.04
"""By what share of itself the simulated player's tempo goes up and down without a click."""


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
        self._bar_clicks = bar_clicks(bar.meter)
        first_beat = float(within / click)
        first_beat -= self._bar_clicks if first_beat else 0
        self._count_in = COUNT_IN_CLICKS + ceil(-first_beat)
        at_once = TempoGrid(asked.click_bpm, counted_in_ns or Ns(output.clock() + LEAD_IN_NS))
        self._grid = TempoGrid(asked.click_bpm, at_once.at(self._count_in))
        self._live = LiveTune(asked, output, self._grid.at(first_beat))
        self._live.recording = record(asked, self._live.begins_ns)
        self._over = False
        """Whether what is heard counts no longer, though the run is not put away yet."""

    @property
    def run(self) -> TuneRun:
        """What is followed and judged."""
        return self._live.run

    @property
    def tally(self) -> Tally:
        """The rounds so far."""
        return self._live.rounds.tally

    @property
    def grid(self) -> TempoGrid:
        """Its click."""
        return self._grid

    def guess(self, rep: int, word: str) -> None:
        """The player's guess about an ornament. Raises ChanterdError if it is not the one to guess about."""
        self._live.guess(rep, word)

    @property
    def cue(self) -> Cue:
        """The passage, for the inputs that perform."""
        run = self.run
        rounds = max(1, SIMULATED_ONSETS // len(run.follower.graph.events)) if run.passage.loops else 1
        length = Ns(max(1, round(run.score.length * run.click_ns)))
        return Cue(self._live.begins_ns, length, (), performance=partial(_simulated, run, rounds))

    @property
    def shown(self) -> TuneRunShown:
        """The run as a page draws it."""
        grid = self._live.grid(self._grid.beat0_ns, self._count_in, self._bar_clicks)
        return self._live.shown(grid, self.tally, self._ladder())

    def begin(self) -> None:
        """Send the click and what is to be played."""
        asked = self.asked
        LOG.info("Seat %s began %s at %g clicks a minute.", self._output.seat, asked.words, asked.click_bpm)
        self._live.publish(self.shown)

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record it, and note when it was stamped."""
        self._live.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Follow, and send where the player is."""
        live = self._live
        live.silent(heard)
        if not (self._over or live.full or self.run.before_it(heard, live.begins_ns)):
            live.follow(heard)

    def tick(self, now_ns: Ns) -> bool:
        """Send what is over, ornaments and rounds; a run goes on until it is stopped, or is far too long."""
        live = self._live
        if now_ns < live.begins_ns:
            self.run.prepare(PREPARED)
        if not self._over:
            self._send(live.rounds.tick(Ns(now_ns - live.begins_ns)))
        if live.full:
            self.finish()
        return not live.full

    def finish(self) -> None:
        """Judge all that was played, and end."""
        self._close("the input ended")

    def end(self, why: str = STOPPED) -> None:
        """Judge all that was played, and end."""
        self._close(why)

    def leave(self) -> None:
        """Keep it, and send nothing of it any more: the practice goes on with another run."""
        self._over, self._live.going = True, False
        self._live.judge(NEXT_NOTCH)

    def _send(self, events: Iterable[PassageEvent]) -> None:
        for event in events:
            if isinstance(event, OrnamentPlayed):
                self._live.send_ornament(event)
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

    def _close(self, why: str) -> None:
        live = self._live
        if not self._over:
            self._send(live.rounds.finish())
        live.show_all()
        if live.going:  # of one that was left, all is kept already
            live.judge(why)
        self._over, live.going = True, False
        LOG.info("Seat %s ended %s: %s.", self._output.seat, self.asked.words, why)
        live.publish(self.shown)


def _simulated(run: TuneRun, rounds: int, seed: int) -> Iterator[Timed]:
    """The simulated player at the passage, that many times through."""
    habits = replace(LEARNER, wander=WANDERS) if run.click_off else LEARNER
    yield from TunePlayer(run.passage, run.score, run.click_ns, seed, habits).play(rounds).messages
