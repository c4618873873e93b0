"""What an ornament is by those on both sides of it: in a recording what comes after it is known, too.

A doubling that lacks its G gracenote sounds like a half doubling; among doublings it was meant to be one of them.
"""

from collections.abc import Sequence
from dataclasses import replace

from chanterd.listening.around import NOTHING, Around, Going, Habits, Likely
from chanterd.listening.found import Found
from chanterd.listening.prices import STANDARD_PRICES, Prices
from chanterd.listening.written import Written

BESIDE = 3
"""How many on each side say which ornament is played again and again."""


def reconsidered(
    found: Sequence[Found], prices: Prices = STANDARD_PRICES, written: Sequence[Written] = ()
) -> list[Found]:
    """The same ornaments, each as it is likeliest among all others as they were read at first.

    ``written`` is what is in the notes of the tunes that were played.
    """
    likely = _likely(found, prices, written)
    before, after = _going(found, likely, prices), _going(found[::-1], likely[::-1], prices)[::-1]
    return [
        _among(one, Around(_both(before[at], after[at], prices), likely[at], prices), prices) if one.choices else one
        for at, one in enumerate(found)
    ]


def _likely(found: Sequence[Found], prices: Prices, written: Sequence[Written]) -> list[Likely]:
    """How likely each ornament is at each place, by how often it is there and nearby."""
    habits = Habits(0)
    for one in found:
        habits.add(one)
    noted = [(each, habits.written(each.ways)) for each in written]
    likely: list[Likely] = []
    for at, one in enumerate(found):
        theme_ns = one.sounds[-1].onset_ns
        here = next((known for each, known in noted if each.start_ns <= theme_ns <= each.end_ns), None)
        beside = [*found[max(0, at - BESIDE) : at], *found[at + 1 : at + 1 + BESIDE]]
        likely.append((habits.without(one) if here is None else here).likely(prices, beside))
    return likely


def _going(found: Sequence[Found], likely: Sequence[Likely], prices: Prices) -> list[Going]:
    """Which drill may be going on when each of them begins."""
    going = [NOTHING]
    for one, here in zip(found, likely, strict=True):
        going.append(going[-1].after(one.choices, here, prices).before(prices) if one.choices else going[-1])
    return going[:-1]


def _both(before: Going, after: Going, prices: Prices) -> Going:
    """By what was played before and after."""
    drills = {
        words: before.drills.get(words, before.free + prices.begins)
        + after.drills.get(words, after.free + prices.begins)
        for words in {*before.drills, *after.drills}
    }
    return Going(drills, before.free + after.free)


def _among(found: Found, around: Around, prices: Prices) -> Found:
    total = {id(choice): choice.price + around.price(choice.way) for choice in found.choices}
    choices = sorted(found.choices, key=lambda choice: total[id(choice)])
    least = total[id(choices[0])]
    others = tuple(one.way for one in choices[1:] if total[id(one)] <= least + prices.equal)
    return replace(found, choices=tuple(choices), others=others)
