"""The tempo ladder: a rule fixed before starting, and where it has led. Pure: (rule, what happened) -> state.

Each full row of clean reps leads a notch up. If the tries run out without one, it goes down notch by notch until there
is one; then down to the performing tempo, if the rule names one, where the player proves it with one more full row.

A *try* at the row ends with the full row or with a rep that is not clean; the latter breaks the row, without appeal. A
rep that was rested is neither clean nor a try, and the row goes on after it: a piper has to breathe, and what was not
played was not played badly (common practice, no source). Tempi are clicks a minute.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Protocol

from chanterd.music.units import Bpm


class Rungs(Protocol):
    """The rule of any ladder: of tempi, or of passages of a tune that get wider (``widening``)."""

    @property
    def in_a_row(self) -> int:
        """Clean reps in a row that lead on."""
        ...

    @property
    def tries(self) -> int:
        """How many tries at the row before going down a notch."""
        ...

    @property
    def performing_bpm(self) -> Bpm | None:
        """Where the player proves it at the end; None: nowhere."""
        ...

    @property
    def top_notch(self) -> int:
        """The first notch that is at the top."""
        ...

    @property
    def lowest_notch(self) -> int:
        """The first notch that is at the bottom; at most 0, where the ladder begins."""
        ...

    def tempo(self, notch: int) -> Bpm:
        """The tempo of a notch."""
        ...


class Happened(StrEnum):
    """How one rep went."""

    CLEAN = "clean"
    NOT_CLEAN = "not clean"
    RESTED = "rested"


class Phase(StrEnum):
    """What the player is doing on the ladder."""

    CLIMBING = "climbing"
    FALLING = "falling"
    """No full row yet; looking for the tempo at which there is one."""
    PROVING = "proving"
    """Down at the performing tempo, after a full row at a faster one."""
    OVER = "over"


class Move(StrEnum):
    """What the last rep led to."""

    UP = "up"
    DOWN = "down"
    TO_PERFORMING = "to performing"
    END = "end"


class Outcome(StrEnum):
    """How a ladder ended by itself."""

    PROVED = "proved"
    """A full row at the performing tempo, after the fastest of today."""
    NOT_YET = "not yet"
    """A full row, but only below the performing tempo."""
    NOT_PROVED = "not proved"
    """A full row at a faster tempo, and then none at the performing one."""
    HELD = "held"
    """A full row, and no performing tempo to prove."""
    NOT_HELD = "not held"
    """No full row at any tempo, down to the slowest there is."""


@dataclass(frozen=True, slots=True)
class LadderState:
    """The state of a ladder."""

    phase: Phase
    notch: int
    """Counted from the first tempo, which is 0; below it they are negative."""
    click_bpm: Bpm
    row: int
    """Clean reps in a row at this tempo."""
    tries_left: int
    """Including the one that is under way."""
    held_bpm: Bpm | None
    """The fastest tempo with a full row."""
    move: Move | None = None
    """What the last rep led to; None: the tempo stays."""
    outcome: Outcome | None = None
    held_notch: int | None = None
    """The highest notch with a full row."""


def most_reps(rule: Rungs) -> int:
    """What bounds a ladder: it is over after a limited number of played reps; rests are not counted.

    Climbing visits each notch once, falling each of those below once more, proving is one visit; and at each visit
    there are that many tries, none of which is longer than the row.
    """
    climbed = rule.top_notch + 1
    fallen = rule.top_notch - rule.lowest_notch
    return (climbed + fallen + 1) * rule.tries * rule.in_a_row


def begin(rule: Rungs) -> LadderState:
    """At the first tempo, before anything was played."""
    return LadderState(Phase.CLIMBING, 0, rule.tempo(0), 0, rule.tries, None)


def after(rule: Rungs, now: LadderState, happened: Happened) -> LadderState:
    """Where one more rep leads; nothing leads on from the end."""
    if now.phase is Phase.OVER:
        return now
    if happened is Happened.RESTED:
        return replace(now, move=None)
    if happened is Happened.CLEAN and now.row + 1 == rule.in_a_row:
        return _full_row(rule, replace(now, row=now.row + 1))
    if happened is Happened.CLEAN:
        return replace(now, row=now.row + 1, move=None)
    if now.tries_left > 1:
        return replace(now, row=0, tries_left=now.tries_left - 1, move=None)
    return _out_of_tries(rule, replace(now, row=0, tries_left=0))


def ladder(rule: Rungs, happened: Iterable[Happened]) -> LadderState:
    """Where these reps have led, in their order."""
    now = begin(rule)
    for one in happened:
        now = after(rule, now, one)
    return now


def _full_row(rule: Rungs, now: LadderState) -> LadderState:
    held = Bpm(max(now.held_bpm or 0.0, now.click_bpm))
    now = replace(
        now, held_bpm=held, held_notch=max(now.notch if now.held_notch is None else now.held_notch, now.notch)
    )
    if now.phase is Phase.CLIMBING and now.notch < rule.top_notch:
        return _go(rule, now, now.notch + 1, Move.UP)
    if rule.performing_bpm is None:
        return _end(now, Outcome.HELD)
    if now.click_bpm > rule.performing_bpm:
        proving = replace(now, phase=Phase.PROVING, click_bpm=rule.performing_bpm, row=0, tries_left=rule.tries)
        return replace(proving, move=Move.TO_PERFORMING)
    return _end(now, Outcome.PROVED if now.click_bpm == rule.performing_bpm else Outcome.NOT_YET)


def _out_of_tries(rule: Rungs, now: LadderState) -> LadderState:
    if now.phase is Phase.PROVING:
        return _end(now, Outcome.NOT_PROVED)
    if now.notch <= rule.lowest_notch:
        if now.held_bpm is None:
            return _end(now, Outcome.NOT_HELD)
        return _end(now, Outcome.HELD if rule.performing_bpm is None else Outcome.NOT_YET)
    return _go(rule, replace(now, phase=Phase.FALLING), now.notch - 1, Move.DOWN)


def _go(rule: Rungs, now: LadderState, notch: int, move: Move) -> LadderState:
    return replace(now, notch=notch, click_bpm=rule.tempo(notch), row=0, tries_left=rule.tries, move=move)


def _end(now: LadderState, outcome: Outcome) -> LadderState:
    return replace(now, phase=Phase.OVER, move=Move.END, outcome=outcome)
