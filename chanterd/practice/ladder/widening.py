"""A ladder at one tempo whose notches are passages of a tune, each wider than the one before: an ornament is put back.

The rule is kept as that of a tempo ladder is (``climb``); what is named here are the passages in place of the tempi.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import Doc, TypedDict

from chanterd.config import FieldsError, Mistake
from chanterd.music.tunes.excerpts import Excerpt, Width
from chanterd.music.units import Bpm
from chanterd.practice.ladder.climb import Happened, LadderState, Move, Phase, after
from chanterd.practice.ladder.rule import LONGEST_ROW, MOST_TRIES, OFFERED
from chanterd.sentences import Names
from chanterd.table_file import parts
from chanterd.values import Whole, table


@dataclass(frozen=True, slots=True)
class Widening:
    """The rule, with the passages that it leads through."""

    click_bpm: Bpm
    passages: tuple[Excerpt, ...]
    """Each wider than the one before."""
    first: int
    """Where it begins, an index of ``passages``: below it are narrower ones to go down to."""
    in_a_row: int
    tries: int

    performing_bpm = None
    """There is no tempo to prove: it stays the same."""

    def tempo(self, notch: int) -> Bpm:  # noqa: ARG002 - it is the same everywhere
        """The tempo of a notch."""
        return self.click_bpm

    @property
    def top_notch(self) -> int:
        """The widest passage."""
        return len(self.passages) - 1 - self.first

    @property
    def lowest_notch(self) -> int:
        """The narrowest passage."""
        return -self.first

    def passage(self, notch: int) -> Excerpt:
        """What is played on that notch."""
        return self.passages[self.first + notch]


@table
class WideningTable(TypedDict):
    """A rule from outside."""

    in_a_row: NotRequired[
        Annotated[int, Interval(ge=1, le=LONGEST_ROW), Whole(), Doc("a whole number of clean rounds")]
    ]
    tries: NotRequired[Annotated[int, Interval(ge=1, le=MOST_TRIES), Whole(), Doc("a whole number of tries")]]
    to: NotRequired[Annotated[str, Doc("how wide it gets: 'beat', 'bar', 'two bars', 'part' or 'tune'")]]


def widening(
    written: Mapping[str, Any], click_bpm: Bpm, passages: list[Excerpt], first: int, names: Names | None = None
) -> Widening:
    """The rule, checked, over those passages. Raises FieldsError with every mistake."""
    right, wrong = parts(WideningTable, dict(written), names)
    mistakes = [Mistake("", f"widen.{key}", f"The widening's {said}") for key, said in wrong.items()]
    last = len(passages) - 1
    if "to" in right:
        known = [one.width for one in passages[first:]]
        fits = [index for index, one in enumerate(passages) if one.width == right["to"] and index >= first]
        if right["to"] not in list(Width) or (not fits and right["to"] not in ("beat", "two bars", "part")):
            offered = ", ".join(f"'{one}'" for one in known)
            said = f"The widening's 'to' is '{right['to']}'; from here it can be {offered}."
            mistakes.append(Mistake("", "widen.to", said))
        elif fits:
            last = fits[-1]
        else:  # as wide as one that was left out, since it adds no note
            order = list(Width)
            last = max(
                index for index, one in enumerate(passages) if order.index(one.width) <= order.index(Width(right["to"]))
            )
    if not mistakes and last <= first:
        mistakes.append(
            Mistake("", "widen", f"There is nothing wider than {passages[first].words}; leave 'widen' out.")
        )
    if mistakes:
        raise FieldsError(mistakes)
    return Widening(
        click_bpm,
        tuple(passages[: last + 1]),
        first,
        right.get("in_a_row", OFFERED.in_a_row),
        right.get("tries", OFFERED.tries),
    )


def announcement(rule: Widening, now: LadderState) -> str:
    """The announcement, to be read or heard: why the passage changed, and to what."""
    row, words = _row(rule), rule.passage(now.notch).words
    match now.move:
        case Move.UP:
            return f"{row}. Wider: {words}."
        case Move.DOWN:
            return f"{_tries(rule.tries)} without {row}. Narrower: {words}."
        case Move.END:
            return _ending(rule, now)
    return f"{words[0].upper()}{words[1:]}: play {row} to move on."


def full_row_leads(rule: Widening, now: LadderState) -> str:
    """Where the full row would lead; empty when it is over."""
    return _leads(rule, replace(now, row=rule.in_a_row - 1), Happened.CLEAN)


def no_row_leads(rule: Widening, now: LadderState) -> str:
    """Where it leads if the tries run out without a full row, likewise."""
    return _leads(rule, replace(now, tries_left=1), Happened.NOT_CLEAN)


def _leads(rule: Widening, now: LadderState, happened: Happened) -> str:
    if now.phase is Phase.OVER:
        return ""
    there = after(rule, now, happened)
    words = rule.passage(there.notch).words
    if there.move is Move.UP:
        return f"on to {words}"
    if there.move is Move.DOWN:
        return f"back to {words}"
    return "held, and the end" if there.row == rule.in_a_row else "the end for today"


def _ending(rule: Widening, now: LadderState) -> str:
    row = _row(rule)
    if now.held_notch is None:
        return (
            f"You didn't manage {row} at {rule.click_bpm:g}, however narrow. Take a rest, then try a slower tempo, or "
            "an earlier stage of the build-up."
        )
    held = rule.passage(now.held_notch)
    if held.width is Width.TUNE:
        return f"You held {held.words} at {rule.click_bpm:g}: {row}. It is back in the tune. Take a rest."
    return f"You held {held.words} at {rule.click_bpm:g}: {row}. Take a rest."


def _row(rule: Widening) -> str:
    return f"{rule.in_a_row} in a row" if rule.in_a_row > 1 else "1 clean round"


def _tries(count: int) -> str:
    return f"{count} tries" if count > 1 else "1 try"
