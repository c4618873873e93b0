"""The activity of climbing a tempo ladder: practising whose tempo changes by the ladder's rule, until it is over.

Each tempo is a run of its own, with its own grid and count-in. A change is announced at once; the count-in at the new
tempo begins on a bar line of the old grid, when there has been time to read or hear it. What is played meanwhile
belongs to no run.
"""

from collections.abc import Callable
from dataclasses import replace
from math import ceil

import mido

from chanterd.hearing.source import Cue
from chanterd.judging.summary import RunSoFar
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.ladder.climb import Happened, Phase, after, begin
from chanterd.practice.ladder.rule import Rule
from chanterd.practice.ladder.words import CHANGED, STOPPED, announcement, whole_words
from chanterd.practice.run import COUNT_IN_CLICKS, RepEvent, Run, Tally
from chanterd.serving.seats import activity
from chanterd.serving.seats.activity import Output
from chanterd.serving.seats.cue import cue_for
from chanterd.serving.seats.live_run import LiveRun, Record
from chanterd.serving.seats.practising import FINISHED, Practising
from chanterd.serving.wire.frames import LadderFrame
from chanterd.serving.wire.shapes import EndedShown, LadderShown, PracticeShown
from chanterd.serving.wire.views import ladder_view

TO_READ_NS = 2000 * NS_PER_MS
"""How long an announcement can be read, at least, before the new tempo is counted in."""

CLIMBED = "the ladder was over"
NEXT_TEMPO = "the ladder went on to another tempo"
"""Why the run at one tempo ended."""


def happened(event: RepEvent) -> Happened:
    """What became of a rep."""
    if event.result["skipped"]:
        return Happened.RESTED
    return Happened.CLEAN if event.result["clean"] else Happened.NOT_CLEAN


class Climbing:
    """One ladder on one seat."""

    corrected = True

    def __init__(
        self, exercise: Exercise, rule: Rule, output: Output, record: Record, cue: Callable[[Cue], None]
    ) -> None:
        """``cue`` has the input perform what comes next."""
        self.rule = rule
        self.ended: EndedShown | None = None
        """How it ended; None while it goes on."""
        self.news = ""
        """The last announcement of a change; empty before the first."""
        self._exercise = exercise
        self._output = output
        self._record = record
        self._recue = cue
        self._now = begin(rule)
        self._broken_off = ""
        self._reps = RunSoFar()
        """Those at all tempi."""
        self._live = self._at_tempo(output.first_beat(self._now.click_bpm))

    def _at_tempo(self, beat0_ns: Ns) -> LiveRun:
        """The run at the present tempo."""
        exercise = replace(self._exercise, click_bpm=self._now.click_bpm)
        return LiveRun(exercise, beat0_ns, self._output, self._record, self._judged)

    @property
    def run(self) -> Run:
        """What is followed and judged at the present tempo."""
        return self._live.run

    @property
    def tally(self) -> Tally:
        """The reps so far at the present tempo."""
        return self.run.tally

    def practice(self) -> PracticeShown:
        """The run at the present tempo, and the ladder."""
        return self._live.view(self._ladder())

    @property
    def cue(self) -> Cue:
        """The drill at the present tempo, for the inputs that perform."""
        return cue_for(self.run)

    @property
    def is_over(self) -> bool:
        """Whether it has come to its end by itself."""
        return self._now.phase is Phase.OVER

    def begin(self) -> None:
        """Send the click, what the reps ask, and the ladder."""
        self._live.begin(self._ladder())

    def guess(self, rep: int, word: str) -> None:
        """Raises ChanterdError: a ladder shows every rep."""
        self._live.guess(rep, word)

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record it."""
        self._live.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Follow, until the ladder is over."""
        if not self.is_over:
            self._live.hear(heard)

    def tick(self, now_ns: Ns) -> bool:
        """Judge the reps that are over, and say whether the ladder goes on."""
        if not self.is_over:
            self._live.tick(now_ns)
        if self.is_over:
            self._close(CLIMBED)
        return not self.is_over

    def finish(self) -> None:
        """The input has ended: what was played is judged, and no longer leads anywhere."""
        self._broken_off = STOPPED
        self._live.finish()
        self._close(FINISHED)

    def end(self, why: str = activity.STOPPED) -> None:
        """Stopped: a rep that was played through is judged, and no longer leads anywhere."""
        self._broken_off = self._broken_off or STOPPED
        self._live.break_off()
        self._close(why)

    def change(self) -> None:
        """The next end makes way for something else: the rule is locked while it runs."""
        self._broken_off = CHANGED

    def _close(self, why: str) -> None:
        if not self.is_over:
            self._send_ladder()
        self.ended = self._live.close(why, self._ladder)

    def _judged(self, event: RepEvent) -> bool:
        """Count the rep and let it lead on; False once the run it belongs to is over."""
        live = self._live
        self._reps.add({**event.result, "rep": self._reps.reps})
        if not self._broken_off:
            self._lead(happened(event))
        return self._live is live and not self.is_over

    def _lead(self, rep: Happened) -> None:
        self._now = after(self.rule, self._now, rep)
        self._send_ladder()
        if self._now.move is not None:
            self.news = announcement(self.rule, self._now)
        if not self.is_over and self._now.move is not None:
            self._live.leave(NEXT_TEMPO)
            self._live = self._at_tempo(self._beat0())
            self._live.begin(self._ladder())
            self._recue(self.cue)

    def _beat0(self) -> Ns:
        """Beat 0 of the new tempo, which is counted in from a bar line of the old one."""
        old, bar = self.run.grid, self.run.exercise.layout.clicks
        ready = old.beats(Ns(self._output.clock() + TO_READ_NS))
        return TempoGrid(self._now.click_bpm, old.at(bar * ceil(ready / bar))).at(COUNT_IN_CLICKS)

    def _send_ladder(self) -> None:
        self._output.publish(LadderFrame(kind="ladder", seat=self._output.seat, ladder=self._ladder()))

    def _ladder(self) -> LadderShown:
        if not self.is_over and not self._broken_off:
            return ladder_view(self.rule, self._now)
        played, found = self.run.tally.played, self._reps.summary()
        last_bpm = self._now.click_bpm if 0 < played < found["played"] else None
        said = None if self.is_over else self._broken_off
        return ladder_view(self.rule, self._now, said, whole_words(found, last_bpm))


Practice = Practising | Climbing
"""What is practised on a seat."""
