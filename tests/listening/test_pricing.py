"""What each way to read a run costs."""

from math import inf, log

import pytest

from chanterd.listening.match import matcher_of
from chanterd.listening.prices import STANDARD_PRICES as PRICES
from chanterd.listening.pricing import Pricing
from chanterd.music.book import standard_book

MATCHER = matcher_of(standard_book(), PRICES)


def pricing() -> Pricing:
    """For a player of whom nothing is known."""
    return Pricing(PRICES, MATCHER.longest)


def grip(*lengths_ms: float, by: Pricing | None = None) -> float:
    """The price of a grip from B to C: the B, its three steps, the C."""
    match = MATCHER.find("BGdGc")[0]
    assert match.variant.way.words == "grip from B to C"
    return (by or pricing()).alone(match, [log(length) for length in lengths_ms], 0, 4)


def test_even_steps_cost_less_than_uneven_ones() -> None:
    """By as little as a finger may be early or late, too, and of the same length in all."""
    assert grip(600, 65, 45, 65, 600) < grip(600, 75, 45, 55, 600)


def test_a_crushed_step_costs_no_more_however_short_it_is() -> None:
    """It is still a step; one that is too long goes on getting dearer."""
    assert grip(600, 60, 3, 60, 600) == pytest.approx(grip(600, 60, 1, 60, 600))
    assert grip(600, 60, 200, 60, 600) < grip(600, 60, 300, 60, 600)


def test_an_open_hand_is_learned() -> None:
    """What was dear before anything was known of the player is not afterwards."""
    one = pricing()
    before = grip(900, 160, 110, 160, 900, by=one)
    for _ in range(20):
        one.usual.held.add(log(160))
        one.usual.quick.add(log(110))
    one.renew()
    assert grip(900, 160, 110, 160, 900, by=one) < before - 1.0


def test_a_crossing_noise_is_short_and_on_the_way_of_the_fingers() -> None:
    """From D to E low A sounds for a moment; no finger passes through high A there, nor stays away for long."""
    one = pricing()
    assert one.noise("dAe", log(20)) < one.noise("dAe", log(40)) < inf
    assert one.noise("dAe", log(PRICES.noise_ms)) == inf
    assert one.noise("dae", log(20)) == inf


def test_short_notes_cost_each_and_a_long_one_is_none() -> None:
    """A note as long as a melody note is never taken for part of what nobody knows."""
    one = pricing()
    assert one.unknown([log(30)] * 3) - one.unknown([log(30)] * 2) == pytest.approx(PRICES.note)
    assert one.unknown([log(30), log(PRICES.unknown_ms + 1)]) == inf
