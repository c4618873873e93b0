"""The activity of a ladder through a tune: the tempo climbs within a passage, or the passage widens at one tempo.

As with drills (``climbing``) each notch is a run of its own, and the next one is counted in when its announcement could
be read or heard. What is played meanwhile belongs to no run.
"""

from collections.abc import Callable
from dataclasses import replace
from math import ceil

import mido

from chanterd.config import ChanterdError
from chanterd.hearing.source import Cue
from chanterd.music.heard import Heard
from chanterd.music.units import Ns
from chanterd.practice.ladder.climb import Happened, Phase, after, begin
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.ladder.widening import Widening
from chanterd.practice.ladder.words import CHANGED, STOPPED
from chanterd.practice.passage.asked import TuneAsked
from chanterd.practice.passage.rounds import RoundPlayed
from chanterd.practice.run import Tally
from chanterd.serving.seats import activity
from chanterd.serving.seats.activity import Output
from chanterd.serving.seats.climbing import CLIMBED, TO_READ_NS
from chanterd.serving.seats.tune_playing import RecordTune, TunePlaying
from chanterd.serving.wire.playing import TuneLadderShown, TuneRunShown
from chanterd.serving.wire.tune_ladder import tune_ladder_view, tune_news


class TuneClimbing:
    """One ladder on one seat."""

    corrected = True

    def __init__(
        self,
        asked: TuneAsked,
        rule: Rule | Widening,
        output: Output,
        record: RecordTune,
        cue: Callable[[Cue], None],
    ) -> None:
        """``record`` gives each run its place in the history; ``cue`` has the input perform what comes next."""
        self.rule = rule
        self.news = ""
        """The last announcement of a change; empty before the first."""
        self.tally = Tally()
        """The rounds on all notches."""
        self._asked = asked
        self._output = output
        self._record = record
        self._recue = cue
        self._now = begin(rule)
        self._broken_off = ""
        self._playing = self._on_notch()

    def _on_notch(self, counted_in_ns: Ns | None = None) -> TunePlaying:
        """The run on the present notch."""
        rule, now = self.rule, self._now
        excerpt = rule.passage(now.notch) if isinstance(rule, Widening) else self._asked.excerpt
        asked = self._asked.at(now.click_bpm, excerpt)
        return TunePlaying(asked, self._output, self._record, counted_in_ns, self._judged, self._ladder)

    @property
    def shown(self) -> TuneRunShown:
        """The run on the present notch, and the ladder."""
        return self._playing.shown

    @property
    def cue(self) -> Cue:
        """The passage, for the inputs that perform."""
        return self._playing.cue

    @property
    def is_over(self) -> bool:
        """Whether it has come to its end by itself."""
        return self._now.phase is Phase.OVER

    def begin(self) -> None:
        """Send the click, what is to be played, and the ladder."""
        self._playing.begin()

    def guess(self, rep: int, word: str) -> None:  # noqa: ARG002 - there is nothing to guess
        """Raises ChanterdError: a ladder shows every round."""
        raise ChanterdError("There is nothing to guess: a ladder shows every round.")

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Note when it was stamped."""
        self._playing.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Follow."""
        self._playing.hear(heard)

    def tick(self, now_ns: Ns) -> bool:
        """Send what is over, go to the next notch if it leads there, and say whether the ladder goes on."""
        goes_on = self._playing.tick(now_ns)
        if self.is_over:
            self._playing.end(CLIMBED)
            return False
        if self._now.move is not None and not self._broken_off and goes_on:
            self._playing.leave()
            self._now = replace(self._now, move=None)
            self._playing = self._on_notch(self._counted_in())
            self._playing.begin()
            self._recue(self.cue)
        return goes_on

    def finish(self) -> None:
        """The input has ended: what was played is judged, and no longer leads anywhere."""
        self._broken_off = STOPPED
        self._playing.finish()

    def end(self, why: str = activity.STOPPED) -> None:
        """Stopped: what was played is judged, and no longer leads anywhere."""
        self._broken_off = self._broken_off or STOPPED
        self._playing.end(why)

    def change(self) -> None:
        """The next end makes way for something else: the rule is locked while it runs."""
        self._broken_off = CHANGED

    def _judged(self, event: RoundPlayed) -> bool:
        """Count the round and let it lead on; False once the run it belongs to is over."""
        self.tally = Tally(self.tally.played + 1, self.tally.clean + event.clean, event.in_a_row)
        if self._broken_off:
            return True
        self._now = after(self.rule, self._now, Happened.CLEAN if event.clean else Happened.NOT_CLEAN)
        if self._now.move is not None:
            self.news = tune_news(self.rule, self._now)
        return self._now.move is None

    def _counted_in(self) -> Ns:
        """When the next notch is counted in: on a click of the old grid."""
        grid = self._playing.grid
        return grid.at(ceil(grid.beats(Ns(self._output.clock() + TO_READ_NS))))

    def _ladder(self) -> TuneLadderShown:
        said = self._broken_off if self._broken_off and not self.is_over else self.news
        over = self.is_over or bool(self._broken_off)
        return tune_ladder_view(self.rule, self._now, said, self.tally if over else None)


TunePractice = TunePlaying | TuneClimbing
"""What is played of a tune on a seat."""


def tune_practice(asked: TuneAsked, output: Output, record: RecordTune, cue: Callable[[Cue], None]) -> TunePractice:
    """The run that a request means, or the ladder of runs."""
    rule = asked.ladder or asked.widening
    return TunePlaying(asked, output, record) if rule is None else TuneClimbing(asked, rule, output, record, cue)
