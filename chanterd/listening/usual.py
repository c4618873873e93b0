"""What is usual with this player: how long steps and melody notes are."""

from math import log, sqrt

from chanterd.listening.prices import Prices

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
