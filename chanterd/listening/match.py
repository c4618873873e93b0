"""Which ornaments a run of notes may be, by the notes alone: exactly, or with a step less, another note, or notes more.

The answers are kept, since players repeat themselves: most runs are looked up once. Part of the innermost loop.
"""

from collections.abc import Iterable
from functools import cache, lru_cache
from math import log
from typing import NamedTuple

from chanterd.listening.prices import Prices
from chanterd.listening.ways import NO_NOTE, NOTES, Sounds, Variant, sounds_of
from chanterd.music.fingering import is_little_finger, noise_notes
from chanterd.music.ornament import Book

MOST_KEPT = 40_000
"""Answers; then they are all forgotten, so that no hour of playing takes more memory than another."""
MOST_EXTRA = 2
"""With more notes than this that belong to no step it is no ornament; one with which the note before only came back is
not counted."""
MOST_PRICE = 9.0
"""What is missing, wrong or too many may cost no more: beyond that it is rather no ornament of the book."""

MOST_ABOVE = 4.5
"""Nor so much more than the likeliest way to read the run."""
EXTRA = -1
"""The place of a note that is no step."""


class Leftover(NamedTuple):
    """A note that belongs to no step."""

    at: int
    """Its place, counted from the note after the note before."""
    below: float
    """The logarithm of the length, in ms, below which it costs no more than was counted …"""
    more: float
    """… and what it costs more if it is longer."""


class Match(NamedTuple):
    """One way to read a run by its notes."""

    price: float
    """Of what is missing, wrong or too many, as if every possible noise were one."""
    variant: Variant
    places: tuple[int, ...]
    """For each note after the note before, which letter of the way it is, or ``EXTRA``; one that only came back after
    another note is the same letter again."""
    broken: bool
    """Whether a letter is there more than once."""
    extras: tuple[Leftover, ...]
    """The notes that belong to no step."""


class _Best:
    """The best match of each way so far, and the most that another may cost. One a search: players have threads."""

    __slots__ = ("matches", "most")

    def __init__(self) -> None:
        self.matches: dict[int, Match] = {}
        self.most = MOST_PRICE


_Kept = tuple[str, tuple[int, ...], float, tuple[Leftover, ...], tuple[tuple[int, int], ...]]
"""A run without some of its notes: what is left, where that was, what it costs, what was left out, and which note came
back as which."""
_Cost = tuple[float, float, float]
"""The price, and the other two figures of a ``Leftover``."""
SMALLEST = 3
"""Letters of a run: the note before, a step, the theme note."""


class Matcher:
    """Looks runs up in a book by sound."""

    __slots__ = ("_again", "_costs", "_kept", "_prices", "_sounds", "longest")

    def __init__(self, sounds: Sounds, prices: Prices) -> None:
        self._sounds = sounds
        self._prices = prices
        self._kept: dict[str, tuple[Match, ...]] = {}
        self._costs: dict[str, _Cost] = {}
        self._again: _Cost = (prices.again, log(prices.unknown_ms), prices.extra - prices.again)
        self.longest = sounds.longest + MOST_EXTRA

    def find(self, heard: str) -> tuple[Match, ...]:
        """All that a run may be, the likeliest by its notes first; the note before is its first letter."""
        found = self._kept.get(heard)
        if found is None:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            found = self._kept[heard] = self._found(heard)
        return found

    def _found(self, heard: str) -> tuple[Match, ...]:
        if len(heard) > self._sounds.longest_between.get(heard[0] + heard[-1], 0) + MOST_EXTRA:
            return ()
        best = _Best()
        whole, costs, wrong = self._sounds.whole, self._costs, self._prices.wrong
        indices = tuple(range(len(heard)))
        seen = {indices}
        shorter: list[_Kept] = [(heard, indices, 0.0, (), ())]
        for extras in range(MOST_EXTRA + 1):
            longer, shorter, last = shorter, [], extras + 1 == MOST_EXTRA
            for one in longer:
                letters, indices, price, left, back = one
                if letters in whole:
                    self._add(heard, one, whole[letters], best)
                if extras == MOST_EXTRA:
                    continue
                size = len(letters)
                mistaken = size > SMALLEST and price + wrong <= best.most
                for place in range(1, size - 1) if mistaken else ():
                    variants = whole.get(f"{letters[:place]}?{letters[place + 1 :]}")
                    if variants is not None:
                        right = [one for one in variants if one.way.letters[place - 1] != letters[place]]
                        self._add(heard, one, right, best)
                for at in range(1, size - 1):
                    around = letters[at - 1 : at + 2]
                    comes_back = around[0] == around[2]
                    if comes_back and at > 1 and letters[at - 2] == around[1]:
                        cost = self._again
                    else:
                        cost = costs.get(around) or self._cost(around)
                    after = at + 2 if comes_back else at + 1
                    if price + cost[0] > best.most or size - after + at < SMALLEST:
                        continue
                    left_over = letters[:at] + letters[after:]
                    if last and left_over not in whole:
                        continue
                    rest = indices[:at] + indices[after:]
                    if rest not in seen:
                        seen.add(rest)
                        extra = Leftover(indices[at] - 1, cost[1], cost[2])
                        again = (*back, (indices[at + 1], indices[at - 1])) if comes_back else back
                        shorter.append((left_over, rest, price + cost[0], (*left, extra), again))
        return tuple(sorted(best.matches.values(), key=lambda match: match.price))

    def _cost(self, around: str) -> _Cost:
        """What it costs that the note in the middle belongs to no step, as far as its notes show."""
        prices = self._prices
        price, below_ms = prices.blip, prices.blip_ms
        if is_noise(*around):
            before, note, after = (NOTES[letter] for letter in around)
            little = is_little_finger(before, note, after)
            price, below_ms = prices.noise, prices.little_finger_ms if little else prices.noise_ms
        cost = self._costs[around] = (price, log(below_ms), prices.extra - price)
        return cost

    def _add(self, heard: str, one: _Kept, variants: Iterable[Variant], best: _Best) -> None:
        _, indices, so_far, left, back = one
        for variant in variants:
            price = so_far
            if variant.missing:
                price += self._prices.missing
            if variant.wrong:
                price += self._prices.wrong
            key = id(variant.way)
            known = best.matches.get(key)
            if price > best.most or (known is not None and known.price <= price):
                continue
            places = [EXTRA] * (len(heard) - 1)
            for index, place in zip(indices[1:], variant.places, strict=True):
                places[index - 1] = place
            for index, earlier in sorted(back):
                places[index - 1] = places[earlier - 1] if earlier else EXTRA
            best.matches[key] = Match(price, variant, tuple(places), bool(back), left)
            best.most = min(best.most, price + MOST_ABOVE)


@cache
def _noises(before: str, after: str) -> frozenset[str]:
    """The letters that may sound for a moment between two others."""
    return frozenset(note.abc for note in noise_notes(NOTES[before], NOTES[after]))


def is_noise(before: str, note: str, after: str) -> bool:
    """Whether the moving fingers pass through that note on the way between the two others."""
    return before != NO_NOTE and note in _noises(before, after)


@lru_cache(maxsize=4)
def matcher_of(book: Book, prices: Prices) -> Matcher:
    """The matcher of a book; all players share what it has looked up."""
    return Matcher(sounds_of(book), prices)
