"""The prices keep the order that is argued for beside them."""

from dataclasses import fields

from chanterd.listening.prices import STANDARD_PRICES as PRICES


def test_a_commoner_ornament_costs_less() -> None:
    """And any costs less than the melody notes it takes the place of, from three on."""
    assert PRICES.usual < PRICES.seldom < PRICES.rare < 3 * PRICES.note


def test_a_noise_costs_less_than_a_note_that_nobody_explains() -> None:
    """A sound too short to hear is in between."""
    assert PRICES.noise < PRICES.blip < PRICES.extra


def test_repetition_never_makes_an_ornament_certain() -> None:
    """Shares of certainty grow with how many of the last few it was, and stay below one."""
    assert list(PRICES.alike) == sorted(PRICES.alike)
    assert PRICES.alike[-1] < 1.0
    assert PRICES.same_way < 1.0


def test_a_drill_that_goes_on_costs_less_than_its_ornament_each_time() -> None:
    """Else nobody would ever be heard to repeat one."""
    assert PRICES.goes_on < PRICES.usual < PRICES.odd_one


def test_no_price_is_negative() -> None:
    """A path that grows never gets cheaper by what is missing or too many."""
    for one in fields(PRICES):
        value = getattr(PRICES, one.name)
        assert min(value) >= 0.0 if isinstance(value, tuple) else value > 0.0
