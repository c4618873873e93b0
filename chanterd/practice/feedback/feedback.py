"""Decides which reps of a run are shown, and when, under one schedule. Nothing else decides that.

Every rep is judged and sent all the same; whoever shows them to the player leaves out those in ``withheld``, and
shows the counts given here. A rep in which nothing was played is no try: it is never kept back and does not count.
"""

from collections import deque
from dataclasses import dataclass, field, replace
from typing import Protocol

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.judging.report import STRICT
from chanterd.judging.summary import Summary, summarise
from chanterd.music.drill import Drill
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MS, ms
from chanterd.practice.feedback.band import Off, farthest_off
from chanterd.practice.feedback.guess import Guesses, GuessesShown, checked, off_by
from chanterd.practice.feedback.schedule import MOST_REPS, Schedule
from chanterd.practice.run import RepEvent, Tally

KEPT_BACK = "Not shown yet."


@with_config(STRICT)
class FeedbackShown(TypedDict):
    """What a page may show of a run under the player's schedule."""

    schedule: str
    live: bool
    """Steps may be shown as they are heard; False: only once their rep has been judged and is not withheld."""
    withheld: list[int]
    """Reps that were judged and may not be shown, of the last fifty that were kept back."""
    said: str | None
    """The sentence to show instead of the newest rep's own; None for that rep's own."""
    more: str
    """What is shown next, and when; may be empty."""
    ask: int | None
    """The rep that the player is to guess about now."""
    guesses: GuessesShown | None
    """None unless the schedule asks for guesses."""
    clean: int
    played: int
    in_a_row: int
    """The counts that may be shown; those of the run itself if nothing is ever kept back."""


class Asked(Protocol):
    """What the reps ask for."""

    def segment(self, turn: int) -> Segment:
        """What was to be played in one of the last reps."""
        ...


@dataclass(slots=True)
class Feedback:
    """The schedule at work in one run."""

    schedule: Schedule
    score: Asked
    on_beat_within_ns: float
    """The standard's limit."""
    _waiting: deque[RepEvent] = field(init=False, default_factory=lambda: deque(maxlen=MOST_REPS))
    _tally: Tally = field(init=False, default_factory=Tally)
    _latest: Tally = field(init=False, default_factory=Tally)
    _inside: int = field(init=False, default=0)
    _left_out: int = field(init=False, default=0)  # until the end; more than _waiting remembers
    _guesses: Guesses = field(init=False, default_factory=Guesses)
    _asked: RepEvent | None = field(init=False, default=None)
    _said: str | None = field(init=False, default=None)
    _more: str = field(init=False)

    def __post_init__(self) -> None:
        self._more = "" if self.schedule.shows_all else self.schedule.said

    @property
    def shown(self) -> FeedbackShown:
        """What a page may show now."""
        return FeedbackShown(
            schedule=self.schedule.name,
            live=self.schedule.shows_all,
            withheld=[one.result["rep"] for one in self._waiting],
            said=self._said,
            more=self._more,
            ask=None if self._asked is None else self._asked.result["rep"],
            guesses=self._guesses.shown if self.schedule.say_first else None,
            clean=self._tally.clean,
            played=self._tally.played,
            in_a_row=self._tally.in_a_row,
        )

    def take(self, rep: RepEvent) -> None:
        """Take a rep that has been judged, and decide whether it is shown or kept back."""
        before, self._latest = self._latest, replace(rep.tally)
        if rep.result["skipped"]:
            return
        if self.schedule.say_first:
            self._ask(rep, before)
        elif self.schedule.together > 1:
            self._gather(rep)
        elif self.schedule.outside_percent is not None:
            self._hold_against(rep, self.schedule.outside_percent)
        else:
            self._take_turns(rep)

    def guess(self, rep: int, word: object) -> None:
        """Take the guess about a rep, and show it. Raises ChanterdError if it is not the one to guess about."""
        known, asked = checked(word), self._asked
        if asked is None or asked.result["rep"] != rep:
            now = (
                "there is no rep to guess about"
                if asked is None
                else f"the rep to guess about is {asked.result['rep']}"
            )
            raise ChanterdError(f"The field 'rep' is {rep}, but {now}.")
        off_ms = asked.result["anchor_ms"]
        said = self._guesses.add(known, round((off_ms or 0.0) * NS_PER_MS), self.on_beat_within_ns)
        self._asked = None
        guesses = self._guesses.shown
        self._release(said, f"{asked.result['said']} Right so far: {guesses['right']} of {guesses['said']}.")

    def end(self) -> None:
        """The run is over: show whatever was kept back."""
        waiting, schedule = list(self._waiting), self.schedule
        said: str | None = None
        if self._inside:
            total = self._latest.played
            said = f"{self._inside} of {total} were within {schedule.outside_percent:g} %; here they are."
        elif schedule.say_first and self._guesses.shown["said"]:
            said = self._guesses.sentence
        elif waiting and schedule.together > 1:
            said = together(summarise(one.result for one in waiting))
        elif waiting:
            said = f"{_reps(self._left_out)} not shown until now."
        self._asked = None
        self._release(said or self._said, "")

    def _release(self, said: str | None, more: str) -> None:
        self._waiting.clear()
        self._show(said, more)

    def _show(self, said: str | None, more: str) -> None:
        self._tally, self._said, self._more = self._latest, said, more

    def _ask(self, rep: RepEvent, before: Tally) -> None:
        """Ask about it; one that was asked about before and not answered is shown now."""
        self._release(None, "")
        self._asked = None
        if rep.result["anchor_ms"] is None:
            return
        self._asked, self._tally = rep, before
        self._waiting.append(rep)
        self._said = f"Rep {rep.result['rep'] + 1}: early, on the beat, or late?"
        self._more = "Answer to see it."

    def _gather(self, rep: RepEvent) -> None:
        self._waiting.append(rep)
        count, size = len(self._waiting), self.schedule.together
        if count == size:
            said = together(summarise(one.result for one in self._waiting))
            self._release(said, f"You will see the next {size} together again.")
        else:
            self._said = self._said or KEPT_BACK
            self._more = f"{count} of {size} played; you will see all {size} together."

    def _hold_against(self, rep: RepEvent, percent: float) -> None:
        off = farthest_off(rep.steps, percent)
        if not rep.result["clean"]:
            self._show(None, "")
        elif off is not None:
            self._show(
                off_said(self.score.segment(rep.result["rep"]).drill, off),
                "Clean by the standard, but outside the band.",
            )
        else:
            self._inside += 1
            self._waiting.append(rep)
            self._said, self._more = (
                "Within the band.",
                f"You will see only faults, and steps more than {percent:g} % off.",
            )

    def _take_turns(self, rep: RepEvent) -> None:
        size = self.schedule.one_of
        turn = (self._latest.played - 1) % size
        if turn == 0:
            self._show(None, "")
            return
        self._waiting.append(rep)
        self._left_out += 1
        left = size - turn
        self._said = KEPT_BACK
        self._more = "You will see the next rep." if left == 1 else f"You will see a rep again in {left} reps."


def _reps(count: int) -> str:
    return "1 rep was" if count == 1 else f"{count} reps were"


def off_said(drill: Drill, off: Off) -> str:
    """A step outside the band, in a sentence."""
    word = "long" if off.percent > 0 else "short"
    return (
        f"The {drill.step_name(off.step)} was {round(abs(off.percent))} % too {word} beside the other steps: "
        f"{round(ms(off.length_ns))} ms."
    )


def together(found: Summary) -> str:
    """Several reps in a sentence or two; at least one was played."""
    clean = f"{found['clean']} of {found['played']} clean."
    middle, around = found["beat"]["median_ms"], found["beat"]["spread_ms"]
    beat = ""
    if middle is not None:
        usual = off_by(middle) if round(middle) else "on the beat"
        beat = f" {usual[0].upper()}{usual[1:]}." if around is None else f" Usually {usual}, ± {round(around)} ms."
    faults = [f"{name} ({count})" for name, count in list(found["faults"].items())[:2]]
    return clean + beat + (f" Most often: {', '.join(faults)}." if faults else "")
