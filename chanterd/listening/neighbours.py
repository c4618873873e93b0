"""What an ornament is by those on both sides of it: in a recording what comes after it is known, too.

A doubling that lacks its G gracenote sounds like a half doubling; among doublings it was meant to be one of them.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import replace

from chanterd.listening.around import NOTHING, Around, Going, Habits, Likely
from chanterd.listening.found import Found
from chanterd.listening.prices import STANDARD_PRICES, Prices
from chanterd.listening.written import Written
from chanterd.music.units import Ns

BESIDE = 3
"""How many on each side say which ornament is played again and again."""


class Beside:
    """What was played around each place of a recording, as it was read at first: before it and after it.

    ``written`` is what is in the notes of the tunes that were played. See :class:`.around.Surroundings`.
    """

    def __init__(
        self, found: Sequence[Found], prices: Prices = STANDARD_PRICES, written: Sequence[Written] = ()
    ) -> None:
        self._found, self._prices = found, prices
        self._themes = [one.sounds[-1].onset_ns for one in found]
        self._habits = Habits(0)
        for one in found:
            self._habits.add(one)
        self._noted = [(each, self._habits.written(each.ways)) for each in written]
        likely = [self._likely(at, at + 1, theme_ns) for at, theme_ns in enumerate(self._themes)]
        self._before = _going(found, likely, prices)
        self._after = _going(found[::-1], likely[::-1], prices)[::-1]
        self._known: dict[tuple[int, bool, int | None], Around] = {}

    def at(self, theme_ns: Ns) -> Around:
        """Around an ornament whose theme note begins then; one that was read with it says nothing about itself."""
        place = bisect_left(self._themes, theme_ns)
        itself = place < len(self._themes) and self._themes[place] == theme_ns
        key = place, itself, self._noted_at(theme_ns)
        known = self._known.get(key)
        if known is None:
            after = place + itself
            going = _both(self._before[place], self._after[after], self._prices)
            known = self._known[key] = Around(going, self._likely(place, after, theme_ns), self._prices)
        return known

    def add(self, found: Iterable[Found]) -> None:
        """All is known already."""

    def _noted_at(self, theme_ns: Ns) -> int | None:
        """Which of what is written is played then; None: nothing of it."""
        return next((at for at, (each, _) in enumerate(self._noted) if each.start_ns <= theme_ns <= each.end_ns), None)

    def _likely(self, before: int, after: int, theme_ns: Ns) -> Likely:
        """How likely each ornament is between two places, by how often it is there and nearby."""
        noted = self._noted_at(theme_ns)
        here = self._habits if noted is None else self._noted[noted][1]
        if noted is None and after > before:
            here = here.without(self._found[before])
        beside = [*self._found[max(0, before - BESIDE) : before], *self._found[after : after + BESIDE]]
        return here.likely(self._prices, beside)


def reconsidered(
    found: Sequence[Found], prices: Prices = STANDARD_PRICES, written: Sequence[Written] = ()
) -> list[Found]:
    """The same ornaments, each as it is likeliest among all others as they were read at first."""
    around = Beside(found, prices, written)
    return [_among(one, around.at(one.sounds[-1].onset_ns), prices) if one.choices else one for one in found]


def _going(found: Sequence[Found], likely: Sequence[Likely], prices: Prices) -> list[Going]:
    """Which drill may be going on when each of them begins, and after the last."""
    going = [NOTHING]
    for one, here in zip(found, likely, strict=True):
        going.append(going[-1].after(one.choices, here, prices).before(prices) if one.choices else going[-1])
    return going


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
