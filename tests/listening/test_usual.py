"""What is usual with a player."""

from math import log

from chanterd.listening.prices import STANDARD_PRICES as PRICES
from chanterd.listening.usual import KNOWN_FROM, Around, Lately, Mean, Usual
from chanterd.listening.ways import Way, sounds_of
from chanterd.music.book import standard_book


def way(heard: str, words: str) -> Way:
    """A way by its sound."""
    return next(one.way for one in sounds_of(standard_book()).whole[heard] if one.way.words == words)


GRIP, HALF = way("BGdGc", "grip from B to C"), way("Acdc", "half doubling from low A to C")
DOUBLING = way("Agcdc", "doubling from low A to C")


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


def test_among_doublings_a_half_one_is_dearer_than_a_doubling_with_a_step_missing() -> None:
    """With nothing around it is the other way about."""
    among, alone = Around([DOUBLING] * 4, PRICES), Around([], PRICES)
    assert among.price(DOUBLING) + PRICES.missing < among.price(HALF)
    assert alone.price(DOUBLING) + PRICES.missing > alone.price(HALF)


def test_nothing_costs_less_than_the_least() -> None:
    """The bound by which the search is cut."""
    for ways in ([], [GRIP], [GRIP, GRIP, HALF], [GRIP] * 9):
        around = Around(ways, PRICES)
        assert min(around.price(one) for one in (GRIP, HALF, DOUBLING)) >= around.least - 1e-9


def test_lately_remembers_the_last_few_only() -> None:
    """An hour ago says nothing of now."""
    lately = Lately(PRICES)
    before = lately.around.price(GRIP)
    lately.add(GRIP)
    assert lately.around.price(GRIP) < before
    for _ in range(10):
        lately.add(HALF)
    assert lately.around.price(GRIP) > before
