"""What is usual with a player."""

from math import log

from chanterd.listening.prices import STANDARD_PRICES as PRICES
from chanterd.listening.usual import KNOWN_FROM, Mean, Usual


def test_a_mean_goes_along_with_a_player_who_opens_up() -> None:
    """It forgets what was long ago."""
    mean = Mean(0.0, 4)
    for _ in range(50):
        mean.add(1.0)
    for _ in range(15):
        mean.add(3.0)
    assert mean.value > 2.8


def test_a_hand_is_known_the_better_the_more_was_heard() -> None:
    """From what differs between hands to what differs within one."""
    usual = Usual(PRICES)
    assert usual.hand_spread(PRICES) == PRICES.hand_spread
    for _ in range(KNOWN_FROM):
        usual.held.add(log(80.0))
    assert abs(usual.hand_spread(PRICES) - PRICES.hand_known) < 1e-9
