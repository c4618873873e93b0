"""The activity of climbing a tempo ladder: practising whose tempo changes by the ladder's rule, until it is over.

Each tempo is a run of its own, with its own grid and count-in. A change is told at once; the count-in at the new tempo
begins on a bar line of the old grid, when there has been time to read it or hear it said. What is played meanwhile
belongs to no run.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from math import ceil

from chanterd.hearing.source import Cue
from chanterd.judging.summary import RunSoFar
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.ladder.climb import Happened, Phase, Standing, after, begin, tempo, top_notch
from chanterd.practice.ladder.rule import Rule, as_json
from chanterd.practice.ladder.words import (
    CHANGED,
    STOPPED,
    announcement,
    full_row_leads,
    no_row_leads,
    whole_words,
)
from chanterd.practice.run import RepTold, Told
from chanterd.serving.seats import activity
from chanterd.serving.seats.activity import COUNT_IN_CLICKS, Voice
from chanterd.serving.seats.practising import Practising, Record
from chanterd.serving.wire.frames import LadderFrame
from chanterd.serving.wire.shapes import LadderRuleShown, LadderShown, PracticeShown

TO_READ_NS = 2000 * NS_PER_MS
"""How long an announcement stands, at least, before the new tempo is counted in."""

CLIMBED = "the ladder was over"
NEXT_TEMPO = "the ladder went on to another tempo"
"""Why the run at one tempo ended."""


def ladder_told(rule: Rule, now: Standing, said: str | None = None, whole: str = "") -> LadderShown:
    """A ladder as the pages are told of it; ``said`` in place of its own announcement, ``whole`` once it has ended."""
    full_row, full_row_bpm = full_row_leads(rule, now)
    no_row, no_row_bpm = no_row_leads(rule, now)
    return LadderShown(
        rule=LadderRuleShown(**as_json(rule)),  # type: ignore[typeddict-item]  # the fields of the rule, each of its type
        phase=now.phase.value,
        click_bpm=now.click_bpm,
        row=now.row,
        tries_left=now.tries_left,
        held_bpm=now.held_bpm,
        move=None if now.move is None else now.move.value,
        outcome=None if now.outcome is None else now.outcome.value,
        said=announcement(rule, now) if said is None else said,
        full_row=full_row,
        full_row_bpm=full_row_bpm,
        no_row=no_row,
        no_row_bpm=no_row_bpm,
        whole=whole,
        rungs=[tempo(rule, notch) for notch in range(min(now.notch, 0), top_notch(rule) + 1)],
    )


def happened(told: RepTold) -> Happened:
    """What became of a rep."""
    if told.result["skipped"]:
        return Happened.RESTED
    return Happened.CLEAN if told.result["clean"] else Happened.NOT_CLEAN


class Climbing(Practising):
    """One ladder on one seat."""

    def __init__(
        self, exercise: Exercise, rule: Rule, voice: Voice, record: Record, cue: Callable[[Cue], None]
    ) -> None:
        """``cue`` has the input perform what is asked next."""
        self.rule = rule
        self._now = begin(rule)
        self._recue = cue
        self._broken_off = ""
        self._reps = RunSoFar()
        """Those at all tempi."""
        self.news = ""
        """The last announcement of a change; empty before the first."""
        super().__init__(replace(exercise, click_bpm=self._now.click_bpm), voice, record)

    def practice(self) -> PracticeShown:
        """The run at the present tempo, and the ladder."""
        return {**super().practice(), "ladder": self._ladder()}

    def hear(self, heard: Heard) -> None:
        """Follow and judge, until the ladder is over."""
        if not self.is_over:
            super().hear(heard)

    def tick(self, now_ns: Ns) -> bool:
        """Close what is over, and say whether the ladder goes on."""
        if not self.is_over:
            super().tick(now_ns)
        if self.is_over:
            self._close(CLIMBED)
        return not self.is_over

    def finish(self) -> None:
        """Nothing more will come: what was played is judged, and leads nowhere any more."""
        self._broken_off = STOPPED
        super().finish()

    def end(self, why: str = activity.STOPPED) -> None:
        """Stopped: what was played through is judged, and leads nowhere any more."""
        self._broken_off = self._broken_off or STOPPED
        super().end(why)

    def change(self) -> None:
        """The next end is because something else is asked for: the rule is locked while it runs."""
        self._broken_off = CHANGED

    @property
    def is_over(self) -> bool:
        """Whether it has come to its end by itself."""
        return self._now.phase is Phase.OVER

    def _close(self, why: str) -> None:
        if not self.is_over:
            self._tell_ladder()
        super()._close(why)

    def _tell(self, told: Iterable[Told]) -> None:
        """Tell one after the other; nothing of the old tempo's run is told after it has led to another."""
        run = self.run
        for one in told:
            if self.run is not run or self.is_over:
                return
            super()._tell([one])
            if isinstance(one, RepTold):
                self._reps.add({**one.result, "rep": self._reps.reps})
                if not self._broken_off:
                    self._lead(happened(one))

    def _lead(self, rep: Happened) -> None:
        self._now = after(self.rule, self._now, rep)
        self._tell_ladder()
        if self._now.move is not None:
            self.news = announcement(self.rule, self._now)
        if not self.is_over and self._now.move is not None:
            self._recording.end(NEXT_TEMPO)
            self._take_run(replace(self.run.exercise, click_bpm=self._now.click_bpm), self._beat0())
            self._publish(self.practice())
            self._recue(self.cue)

    def _beat0(self) -> Ns:
        """Beat 0 of the new tempo, which is counted in from a bar line of the old one."""
        old, bar = self.run.grid, self.run.course.layout.clicks
        ready = old.beats(Ns(self._voice.clock() + TO_READ_NS))
        return TempoGrid(self._now.click_bpm, old.at(bar * ceil(ready / bar))).at(COUNT_IN_CLICKS)

    def _tell_ladder(self) -> None:
        self._voice.publish(LadderFrame(kind="ladder", seat=self._voice.seat, ladder=self._ladder()))

    def _ladder(self) -> LadderShown:
        if not self.is_over and not self._broken_off:
            return ladder_told(self.rule, self._now)
        played, found = self.run.tally.played, self._reps.summary()
        last_bpm = self._now.click_bpm if 0 < played < found["played"] else None
        said = None if self.is_over else self._broken_off
        return ladder_told(self.rule, self._now, said, whole_words(found, last_bpm))
