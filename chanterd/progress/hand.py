"""Whether a hand is even across families: the held steps of one about as long as those of another, at one tempo.

The short C of a C doubling lasts about as long as the low Gs of a taorluath in the same tune (common practice, no
source). A held step takes another length at another tempo, so only runs at nearly the same one are compared.
``judging.hand`` decides what counts as even, and as the same tempo.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median

from chanterd.history.held import HeldAt
from chanterd.judging.hand import SAME_TEMPO, StepSize, is_even
from chanterd.judging.robust import standard_error_of
from chanterd.progress.words import clicks, lowered

LEAST_PLAYED = 10
"""With fewer reps a family is not compared: common practice, no source."""


@dataclass(frozen=True, slots=True)
class FamilyHand:
    """One family's held steps."""

    family: str
    played: int
    held_ms: float
    spread_ms: float | None
    """How much they vary from rep to rep."""


@dataclass(frozen=True, slots=True)
class HandOverTime:
    """A hand over a span of days, the longest steps first."""

    slowest_bpm: float | None
    fastest_bpm: float | None
    usual_ms: float | None
    """The median of the families' lengths."""
    families: tuple[FamilyHand, ...]
    elsewhere: tuple[str, ...]
    """Families that were not played enough at this tempo to be compared."""
    even: bool | None
    """None: fewer than two families can be compared."""
    said: str


def hand_of(held: Iterable[HeldAt]) -> HandOverTime:
    """Compare the families at the tempo that most of them share; among equals at the most played."""
    enough: dict[float, list[FamilyHand]] = {}
    all_held = list(held)
    for middle in {one.click_bpm for one in all_held}:
        near = [one for one in all_held if abs(one.click_bpm - middle) <= SAME_TEMPO * middle]
        enough[middle] = [one for one in map(_family, _by_family(near)) if one.played >= LEAST_PLAYED]
    if not any(enough.values()):
        return HandOverTime(None, None, None, (), tuple(sorted({one.family for one in all_held})), None, TOO_LITTLE)
    middle = max(enough, key=lambda bpm: (len(enough[bpm]), sum(one.played for one in enough[bpm]), bpm))
    families = tuple(sorted(enough[middle], key=lambda one: (-one.held_ms, one.family)))
    named = {one.family for one in families}
    near_bpm = [
        one.click_bpm for one in all_held if one.family in named and abs(one.click_bpm - middle) <= SAME_TEMPO * middle
    ]
    return HandOverTime(
        slowest_bpm=min(near_bpm),
        fastest_bpm=max(near_bpm),
        usual_ms=round(median(one.held_ms for one in families), 1),
        families=families,
        elsewhere=tuple(sorted({one.family for one in all_held} - named)),
        even=_even(families),
        said=_said(families),
    )


TOO_LITTLE = "Play two families at about the same tempo, and they are compared here."


def _by_family(held: Iterable[HeldAt]) -> list[Sequence[HeldAt]]:
    found: dict[str, list[HeldAt]] = defaultdict(list)
    for one in held:
        found[one.family].append(one)
    return list(found.values())


def _family(held: Sequence[HeldAt]) -> FamilyHand:
    played = sum(one.played for one in held)
    spreads = [(one.spread_ms, one.played) for one in held if one.spread_ms is not None]
    square = sum(spread * spread * weight for spread, weight in spreads)
    return FamilyHand(
        family=held[0].family,
        played=played,
        held_ms=round(sum(one.held_ms * one.played for one in held) / played, 1),
        spread_ms=round(sqrt(square / sum(weight for _, weight in spreads)), 1) if spreads else None,
    )


def _even(families: Sequence[FamilyHand]) -> bool | None:
    return is_even([StepSize(one.family, one.held_ms, _error_ms(one)) for one in families])


def _error_ms(one: FamilyHand) -> float:
    return 2 * standard_error_of(one.spread_ms or 0.0, one.played)


def _said(families: Sequence[FamilyHand]) -> str:
    even = _even(families)
    if even is None:
        return TOO_LITTLE
    longest, shortest = families[0], families[-1]
    if even:
        lengths = _ms(longest) if _ms(longest) == _ms(shortest) else f"{_ms(shortest)} to {_ms(longest)}"
        return f"An even hand: a held note lasts {lengths} ms in all {len(families)} families."
    return (
        f"Not even yet: a held note lasts {_ms(longest)} ms in {lowered(longest.family)} and {_ms(shortest)} ms in "
        f"{lowered(shortest.family)}. Bring them nearer to each other; which way is a matter of style."
    )


def _ms(family: FamilyHand) -> str:
    return str(round(family.held_ms))


def tempo_words(hand: HandOverTime) -> str:
    """The tempo at which the families are compared, in words."""
    if hand.slowest_bpm is None or hand.fastest_bpm is None:
        return ""
    if hand.slowest_bpm == hand.fastest_bpm:
        return f"at {clicks(hand.slowest_bpm)} clicks a minute"
    return f"at {clicks(hand.slowest_bpm)} to {clicks(hand.fastest_bpm)} clicks a minute"
