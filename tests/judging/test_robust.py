"""Robust statistics: what one stumble does not change. They are checked against SciPy in tests/outside."""

from statistics import StatisticsError

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.judging.robust import FEWEST, MOST_FOR_DRIFT, drift, scatter, spread, standard_error

FINITE = st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=40)


def test_a_spread_needs_values() -> None:
    """Of none there is none."""
    with pytest.raises(StatisticsError):
        spread([])


@given(FINITE, st.floats(-1e3, 1e3))
def test_the_spread_does_not_depend_on_the_bias(values: list[float], bias: float) -> None:
    """A steady habit moves the middle and nothing else."""
    assert spread([value + bias for value in values]) == pytest.approx(spread(values), abs=1e-6)


def test_two_sizes_scatter_and_one_slip_does_not() -> None:
    """Two sizes by turns, or one of them in a third of the reps only; and one rep of 500 ms among 60s."""
    assert scatter([55.0, 110.0] * 6) > 25
    assert scatter([55.0, 55.0, 110.0] * 4) > 25
    assert spread([55.0, 55.0, 110.0] * 4) == 0
    assert scatter([60.0] * 9 + [500.0]) == 0
    assert scatter([60.0]) == 0


def test_an_error_needs_five_values() -> None:
    """With fewer nothing is said; four times as many halve it."""
    values = [1.0, 2.0, 3.0, 4.0, 5.0]
    assert standard_error(values[: FEWEST - 1]) is None
    once, four = standard_error(values), standard_error(values * 4)
    assert once is not None
    assert four == pytest.approx(once / 2)


def test_one_stumble_does_not_make_a_drift() -> None:
    """A line of 2 a place stays one, whatever a single value does; one place alone has no slope."""
    at = list(range(11))
    values = [2.0 * place for place in at]
    values[5] = 999.0
    assert drift(values, at) == pytest.approx(2.0)
    assert drift([1.0], [3.0]) is None
    assert drift([], []) is None


def test_a_long_run_is_thinned_evenly() -> None:
    """Ten thousand places still give the slope, from a few hundred of them."""
    at = list(range(33 * MOST_FOR_DRIFT + 7))
    assert drift([0.5 * place for place in at], at) == pytest.approx(0.5)
