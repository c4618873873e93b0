"""Which ornaments a run of notes may be, by the notes alone: exactly, or with a step less, another note, or notes more.

The answers are kept, since players repeat themselves: most runs are looked up once. Part of the innermost loop.
"""

from functools import lru_cache
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
    """For each note after the note before, which letter of the way it is, or ``EXTRA``."""
    extras: tuple[Leftover, ...]
    """The notes that belong to no step; one with which the note before only came back is none of them."""


class Matcher:
    """Looks runs up in a book by sound."""

    __slots__ = ("_kept", "_prices", "_sounds", "longest")

    def __init__(self, sounds: Sounds, prices: Prices) -> None:
        self._sounds = sounds
        self._prices = prices
        self._kept: dict[str, tuple[Match, ...]] = {}
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
        best = _Best()
        seen = {tuple(range(len(heard)))}
        shorter = [_Kept(tuple(range(len(heard))), 0.0, ())]
        for extras in range(MOST_EXTRA + 1):
            longer, shorter = shorter, []
            for one in longer:
                self._look_up(heard, one, best, wrong=extras < MOST_EXTRA)
                if extras < MOST_EXTRA:
                    for at in range(1, len(one.indices) - 1):
                        left = self._without(heard, one, at)
                        if left is not None and left.price <= best.most and left.indices not in seen:
                            seen.add(left.indices)
                            shorter.append(left)
        return tuple(sorted(best.matches.values(), key=lambda match: match.price))

    def _without(self, heard: str, one: "_Kept", at: int) -> "_Kept | None":
        """The notes without one of them, and without the one that then only sounds on."""
        kept, prices = one.indices, self._prices
        before, note, after = heard[kept[at - 1]], heard[kept[at]], heard[kept[at + 1]]
        price, below_ms = prices.blip, prices.blip_ms
        if is_noise(before, note, after):
            little = is_little_finger(NOTES[before], NOTES[note], NOTES[after])
            price, below_ms = prices.noise, prices.little_finger_ms if little else prices.noise_ms
        elif before == after and at > 1 and heard[kept[at - 2]] == note:
            price, below_ms = prices.again, prices.unknown_ms
        left = kept[:at] + kept[at + (2 if before == after else 1) :]
        if len(left) < 3:  # noqa: PLR2004 - the note before, a step, the theme note
            return None
        extra = Leftover(kept[at] - 1, log(below_ms), prices.extra - price)
        return _Kept(left, one.price + price, (*one.extras, extra))

    def _look_up(self, heard: str, one: "_Kept", best: "_Best", *, wrong: bool) -> None:
        whole = self._sounds.whole
        letters = "".join([heard[index] for index in one.indices])
        for variant in whole.get(letters, ()):
            self._add(heard, one, variant, best)
        if wrong and len(letters) > 3:  # noqa: PLR2004 - the note before, a step, the theme: nothing else shows it
            for place in range(1, len(letters) - 1):
                for variant in whole.get(f"{letters[:place]}?{letters[place + 1 :]}", ()):
                    if variant.way.letters[place - 1] != letters[place]:
                        self._add(heard, one, variant, best)

    def _add(self, heard: str, one: "_Kept", variant: Variant, best: "_Best") -> None:
        price = one.price
        if variant.missing:
            price += self._prices.missing
        if variant.wrong:
            price += self._prices.wrong
        known = best.matches.get(id(variant.way))
        if price > best.most or (known is not None and known.price <= price):
            return
        places = [EXTRA] * (len(heard) - 1)
        for index, place in zip(one.indices[1:], variant.places, strict=True):
            places[index - 1] = place
        best.matches[id(variant.way)] = Match(price, variant, tuple(places), one.extras)
        best.most = min(best.most, price + MOST_ABOVE)


class _Best:
    """The best match of each way so far, and the most that another may cost. One a search: players have threads."""

    __slots__ = ("matches", "most")

    def __init__(self) -> None:
        self.matches: dict[int, Match] = {}
        self.most = MOST_PRICE


class _Kept(NamedTuple):
    """A run without some of its notes."""

    indices: tuple[int, ...]
    price: float
    extras: tuple[Leftover, ...]


MOST_PRICE = 9.0
"""What is missing, wrong or too many may cost no more: beyond that it is rather no ornament of the book."""

MOST_ABOVE = 4.5
"""Nor so much more than the likeliest way to read the run."""

_NOISES: dict[tuple[str, str], frozenset[str]] = {}


def _noises(before: str, after: str) -> frozenset[str]:
    """The letters that may sound for a moment between two others."""
    known = _NOISES.get((before, after))
    if known is None:
        known = frozenset(note.abc for note in noise_notes(NOTES[before], NOTES[after]))
        _NOISES[before, after] = known
    return known


def is_noise(before: str, note: str, after: str) -> bool:
    """Whether the moving fingers pass through that note on the way between the two others."""
    return before != NO_NOTE and note in _noises(before, after)


@lru_cache(maxsize=4)
def matcher_of(book: Book, prices: Prices) -> Matcher:
    """The matcher of a book; all players share what it has looked up."""
    return Matcher(sounds_of(book), prices)
