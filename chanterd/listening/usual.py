"""What is usual with this player: how long steps and melody notes are, and which ornaments were played lately."""

from collections import Counter, deque
from collections.abc import Iterable
from math import exp, log, sqrt

from chanterd.listening.prices import Prices
from chanterd.listening.ways import Way

MOST_STEPS, MOST_NOTES = 24, 32
"""How many values a mean remembers: so it goes along with a player who opens up."""
KNOWN_FROM = 12
"""Steps from which a hand is known."""


class Mean:
    """A running mean that forgets."""

    __slots__ = ("count", "most", "value")

    def __init__(self, value: float, most: int) -> None:
        self.value = value
        self.most = most
        self.count = 0

    def add(self, value: float) -> None:
        """Take the next value."""
        self.count = min(self.count + 1, self.most)
        self.value += (value - self.value) / (self.count + 1)


class Usual:
    """Lengths are logarithms of ms."""

    __slots__ = ("held", "melody", "quick")

    def __init__(self, prices: Prices) -> None:
        self.quick = Mean(log(prices.quick_ms), MOST_STEPS)
        self.held = Mean(log(prices.held_ms), MOST_STEPS)
        self.melody = Mean(log(prices.melody_ms), MOST_NOTES)

    def hand_spread(self, prices: Prices) -> float:
        """How much the next ornament may differ from the hand as it is known."""
        known = min(1.0, (self.quick.count + self.held.count) / KNOWN_FROM)
        return prices.hand_spread + (prices.hand_known - prices.hand_spread) * sqrt(known)


class Around:
    """What an ornament costs beside those around it."""

    __slots__ = ("_alike", "_drills", "_else", "_elsewhere", "_prices", "least")

    def __init__(self, ways: Iterable[Way], prices: Prices) -> None:
        drills = Counter(way.words for way in ways if way.words is not None)
        alike = Counter(way.ornament.name for way in ways)
        self._drills = {words: _at(prices.around, count) for words, count in drills.items()}
        self._alike = {name: _at(prices.alike, count) for name, count in alike.items()}
        most = max([0.0, *self._drills.values(), *self._alike.values()])
        self._prices = {"usual": prices.usual, "seldom": prices.seldom, "rare": prices.rare}
        self._elsewhere = prices.elsewhere
        self._else = -log(1.0 - most)
        self.least = -log(most + (1.0 - most) * exp(-prices.usual))

    def price(self, way: Way) -> float:
        """What this ornament costs here."""
        likely = self._alike.get(way.ornament.name, 0.0)
        if way.words is not None:
            likely = max(likely, self._drills.get(way.words, 0.0))
        price = self._prices[way.common] + self._else
        if likely:
            price = -log(likely + (1.0 - likely) * exp(-price))
        return price if way.words is not None else price + self._elsewhere


class Lately:
    """The last few ornaments."""

    __slots__ = ("_prices", "_ways", "around")

    def __init__(self, prices: Prices) -> None:
        self._prices = prices
        self._ways: deque[Way] = deque(maxlen=len(prices.alike) - 1)
        self.around = Around((), prices)

    def add(self, way: Way) -> None:
        """Take the next one."""
        self._ways.append(way)
        self.around = Around(tuple(self._ways), self._prices)


def _at(likely: tuple[float, ...], count: int) -> float:
    return likely[min(count, len(likely) - 1)]
