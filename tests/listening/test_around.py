"""What is likely by what was played around it."""

from chanterd.listening.around import MOST_DRILLS, MOST_WAYS, NOTHING, Around, Habits, Lately
from chanterd.listening.found import Found
from chanterd.listening.prices import STANDARD_PRICES as PRICES
from chanterd.listening.ways import Way, sounds_of
from chanterd.music.book import standard_book
from chanterd.music.units import Ns
from tests.listening.played_notes import found_in


def one(written: str) -> Found:
    """The ornament in it."""
    (found,) = found_in(written)
    return found


def way(heard: str, words: str) -> Way:
    """A way by its sound."""
    return next(one.way for one in sounds_of(standard_book()).whole[heard] if one.way.words == words)


GRIP, HALF = one("B700 G60 d30 G60 c700"), one("A700 c60 d30 c700")
DOUBLING = one("A700 g35 c60 d30 c700")
HALF_WAY, DOUBLING_WAY = way("Acdc", "half doubling from low A to C"), way("Agcdc", "doubling from low A to C")
GRIP_WAY = way("BGdGc", "grip from B to C")


def after(*found: Found) -> Around:
    """What is likely after these."""
    lately = Lately(PRICES)
    lately.add(found)
    return lately.at(Ns(0))


def test_among_doublings_a_half_one_is_dearer_than_a_doubling_with_a_step_missing() -> None:
    """With nothing around it is the other way about."""
    among, alone = after(*[DOUBLING] * 4), after()
    assert among.price(DOUBLING_WAY) + PRICES.missing < among.price(HALF_WAY)
    assert alone.price(DOUBLING_WAY) + PRICES.missing > alone.price(HALF_WAY)


def test_nothing_costs_less_than_the_least() -> None:
    """The bound by which the search is cut."""
    for found in ([], [GRIP], [GRIP, GRIP, HALF], [GRIP] * 9, [GRIP] * 9 + [HALF]):
        around = after(*found)
        assert min(around.price(each) for each in (GRIP_WAY, HALF_WAY, DOUBLING_WAY)) >= around.least - 1e-9


def test_what_was_played_last_counts_most() -> None:
    """An hour ago says little of now."""
    assert after(GRIP).price(GRIP_WAY) < after().price(GRIP_WAY)
    assert after(GRIP, *[HALF] * 10).price(GRIP_WAY) > after(GRIP).price(GRIP_WAY)


def test_a_drill_goes_on_through_an_odd_rep() -> None:
    """One that was read otherwise ends nothing."""
    assert after(*[GRIP] * 5, HALF).price(GRIP_WAY) < after().price(GRIP_WAY)


def test_what_is_remembered_does_not_grow() -> None:
    """Ten thousand ornaments leave no more than a few hundred."""
    habits, going = Habits(5), NOTHING
    for _ in range(2_000):
        for found in (GRIP, HALF, DOUBLING):
            habits.add(found)
            going = going.after(found.choices, habits.likely(PRICES), PRICES).before(PRICES)
    assert sum(habits.likely(PRICES).known(GRIP_WAY.place).values()) <= 2 * MOST_WAYS
    assert len(going.drills) <= MOST_DRILLS


def test_what_is_written_is_likelier_than_what_is_not() -> None:
    """Where a tune is at hand."""
    noted = Habits(0).written({"Ac": {"doubling from low A to C": 3}}).likely(PRICES)
    assert noted.price(DOUBLING_WAY) < noted.price(HALF_WAY)
    assert noted.price(HALF_WAY) > Habits(0).likely(PRICES).price(HALF_WAY)
