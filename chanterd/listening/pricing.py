"""What each way to read a run of sounds costs with this player: by its notes, and by how long they are.

The figures are those of ``Prices``, held against what is ``Usual`` with the player. Lengths are logarithms of ms, one
for each sound; ``first`` is the melody note before and ``last`` the one after, both indices of sounds. Part of the
innermost loop.
"""

from collections.abc import Sequence
from math import exp, hypot, inf, log

from chanterd.listening.match import EXTRA, Match, is_noise
from chanterd.listening.prices import Prices
from chanterd.listening.usual import Usual
from chanterd.music.units import NS_PER_MS

SURE_NS = 900 * NS_PER_MS
"""A sound that lasts longer is a melody note, however open the hand: our own choice."""
SURE = log(SURE_NS / NS_PER_MS)
"""The same as a length."""
LONG_STEP_MS = 150.0
"""A sound up to this may be a step, whatever is known of the hand: our own choice."""
NOTHING: dict[int, float] = {}


class Pricing:
    """Prices readings for one player."""

    __slots__ = (
        "_half_hand",
        "_half_step",
        "_long_step",
        "_noise_most",
        "_noise_usual",
        "_prices",
        "_sizes",
        "_slope",
        "_slow",
        "_straight",
        "_unknown_most",
        "at_best",
        "most_step",
        "usual",
    )

    def __init__(self, prices: Prices, longest: int) -> None:
        """``longest``: the most steps that a reading may have."""
        self._prices = prices
        self._noise_most, self._noise_usual = log(prices.noise_ms), log(prices.noise_usual_ms)
        self._slow, self._unknown_most = log(prices.slow_ms), log(prices.unknown_ms)
        self.usual = Usual(prices)
        self.at_best = [0.0] * (longest + 1)
        """By the number of steps, what their lengths cost at best."""
        self.renew()

    def renew(self) -> None:
        """Work out what the innermost loop needs of what is usual by now."""
        prices, usual = self._prices, self.usual
        self._sizes = (usual.quick.value, usual.held.value)
        hand = usual.hand_spread(prices)
        spread = hypot(prices.step_spread, prices.finger_ms / exp(0.5 * (self._sizes[0] + self._sizes[1])))
        variance = spread**2
        self._half_step = 0.5 / variance
        self._straight = prices.step_straight * spread
        self._slope = self._half_step * self._straight
        self._long_step = self._sizes[1]
        # By the number of steps: how much their middle may differ from the hand, and what they cost at best.
        counts = range(1, len(self.at_best))
        self._half_hand = [0.0, *(0.5 / (hand**2 + variance / count) for count in counts)]
        self.at_best = [
            0.0,
            *(count * log(spread) + 0.5 * log(1 + count * hand**2 / variance) for count in counts),
        ]
        # Within two of its spreads the longest step may be so long; what is written long is counted apart.
        widest = hand + 2 * spread
        self.most_step = min(SURE, max(log(LONG_STEP_MS), max(self._sizes) + widest))

    def melody(self, length: float) -> float:
        """The price of a melody note of that length."""
        prices = self._prices
        off = (length - self.usual.melody.value) / prices.melody_spread
        square = 0.5 * off * off
        if off > 0:
            square = min(square, prices.melody_long)
        return prices.note + log(prices.melody_spread) + square

    def passing(self, letters: str) -> float:
        """What a single step costs besides, where the fingers pass through it anyway; ``letters`` are all three."""
        before, note, after = letters[0], letters[1], letters[2]
        return self._prices.as_noise if before != after and is_noise(before, note, after) else 0.0

    def alone(self, match: Match, logs: Sequence[float], first: int, last: int) -> float:
        """The price of a reading by itself: its notes, and how long they are."""
        prices, way = self._prices, match.variant.way
        held, times, sizes = way.held, match.variant.times, self._sizes
        price, left_out, instead = match.price, match.variant.left_out, match.variant.instead
        offs: list[float] = []
        longest = written_long = 0.0
        beside = _beside(match, logs, first) if match.extras else NOTHING
        if match.broken:
            lengths = lengths_of(match, logs, first)
        else:
            theme = len(held)
            lengths = [
                (place, length)
                for place, length in zip(match.places, logs[first + 1 : last], strict=False)
                if 0 <= place < theme
            ]
        for place, whole in lengths:
            length = whole - times[place]
            longest, written_long = max(longest, length), max(written_long, whole)
            size = sizes[held[place]]
            if place in beside and length < size:
                length = min(size, log(exp(whole) + beside[place]) - times[place])
            elif place == instead and length > size:
                both = exp(whole) - exp(sizes[held[left_out]] + times[left_out])
                length = max(size, log(both) - times[place]) if both > 0 else size
            offs.append(length - size)
        if match.broken:
            price += self._broken(match, logs, first)
        for at, below, more in match.extras:
            if logs[first + 1 + at] >= below:
                price += more
        count = len(offs)
        offs.sort()
        middle = offs[count // 2] if count & 1 else 0.5 * (offs[count // 2 - 1] + offs[count // 2])
        half, most = self._half_step, prices.step_most
        straight, slope = self._straight, self._slope
        for off in offs:
            differs = off - middle
            square = half * differs * differs
            if differs > straight:
                price += slope * (2.0 * differs - straight)
            else:
                price += square if differs > 0 or square < most else most
        price += self._half_hand[count] * middle * middle + self.at_best[count]
        if longest > self._long_step or longest > self._slow:
            melody = max(logs[last], logs[first])
            share = exp(longest - melody)
            if count == 1 and longest > self._slow:
                price += prices.dotted * max(0.0, share - prices.dotted_from)
            if written_long > longest:
                price += prices.dotted * max(0.0, exp(written_long - melody) - prices.cadence_share)
            if share > prices.as_long:
                price += prices.as_long_price * (share - prices.as_long)
        return price

    def noise(self, letters: str, length: float) -> float:
        """The price of a crossing noise alone, the middle one of three notes; infinite if it is none."""
        before, note, after = letters[0], letters[1], letters[2]
        if before == after or length >= self._noise_most or not is_noise(before, note, after):
            return inf
        long = length - self._noise_usual
        return self._prices.noise + (self._prices.noise_long * long if long > 0 else 0.0)

    def unknown(self, lengths: Sequence[float]) -> float:
        """The price of short notes that are no ornament; infinite if one of them is not short."""
        price, each, most = self._prices.unknown, self._prices.note, self._unknown_most
        for length in lengths:
            if length > most:
                return inf
            price += each
        return price

    def _broken(self, match: Match, logs: Sequence[float], first: int) -> float:
        """What it costs that a melody note sounded for long: the one that was broken off, or the one before, again."""
        theme, most = len(match.variant.way.held), self._unknown_most
        long = sum(
            logs[index] > most for index, place in enumerate(match.places[:-1], first + 1) if place in (theme, EXTRA)
        )
        return long * self._prices.extra


def lengths_of(match: Match, logs: Sequence[float], first: int) -> list[tuple[int, float]]:
    """The letters of a reading that were heard, but for the last, and the logarithms of their lengths."""
    theme = len(match.variant.way.held)
    found = [(place, logs[index]) for index, place in enumerate(match.places, first + 1) if 0 <= place < theme]
    if match.broken:
        lengths: dict[int, float] = {}
        for place, length in found:
            lengths[place] = lengths.get(place, 0.0) + exp(length)
        found = [(place, log(length)) for place, length in lengths.items()]
    return found


def _beside(match: Match, logs: Sequence[float], first: int) -> dict[int, float]:
    """By letter, how long the noises beside it were, in ms: they take their time from it; a longer note does not."""
    found: dict[int, float] = {}
    for at, below, _ in match.extras:
        if logs[first + 1 + at] >= below:
            continue
        length = exp(logs[first + 1 + at])
        for place in (match.places[at - 1] if at else EXTRA, match.places[at + 1]):
            found[place] = found.get(place, 0.0) + length
    return found
