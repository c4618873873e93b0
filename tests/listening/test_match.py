"""Runs of notes looked up by their notes."""

from chanterd.listening.match import EXTRA, is_noise, matcher_of
from chanterd.listening.prices import STANDARD_PRICES, Prices
from chanterd.listening.ways import NO_NOTE
from chanterd.music.book import standard_book

MATCHER = matcher_of(standard_book(), STANDARD_PRICES)


def test_what_fits_exactly_comes_first_and_costs_nothing() -> None:
    """Whatever else it might be."""
    first = MATCHER.find("BGdGc")[0]
    assert (first.price, first.variant.way.words) == (0.0, "grip from B to C")
    assert first.places == (0, 1, 2, 3)


def test_a_noise_is_left_out_and_named() -> None:
    """Low A between B and low G: some fingers were ahead of the others."""
    first = MATCHER.find("BAGdGc")[0]
    assert first.variant.way.words == "grip from B to C"
    assert first.places == (EXTRA, 0, 1, 2, 3)
    assert [extra.at for extra in first.extras] == [0]


def test_a_movement_added_at_the_end_leaves_the_ornament_whole() -> None:
    """The theme note is the one that was reached first, and it goes on after what was added."""
    found = next(one for one in MATCHER.find("AgcdcGc") if one.variant.way.words == "doubling from low A to C")
    assert found.places == (0, 1, 2, 3, EXTRA, 3)
    assert found.broken


def test_a_wrong_note_is_in_the_place_of_its_step() -> None:
    """C for D in a taorluath."""
    found = next(one for one in MATCHER.find("cGBGeA") if one.variant.way.words == "taorluath from C to low A")
    assert found.variant.wrong
    assert found.places == (0, 1, 2, 3, 4)


def test_a_run_of_notes_in_no_order_is_nothing() -> None:
    """Nothing comes near it."""
    assert MATCHER.find("BeGfGafeB") == ()


def test_answers_are_shared_between_players_and_not_between_prices() -> None:
    """Prices go into the answers."""
    assert matcher_of(standard_book(), STANDARD_PRICES) is MATCHER
    assert matcher_of(standard_book(), Prices(missing=1.0)) is not MATCHER


def test_after_a_silence_there_is_no_noise() -> None:
    """A noise is between two notes."""
    assert is_noise("B", "A", "G")
    assert not is_noise(NO_NOTE, "A", "G")
