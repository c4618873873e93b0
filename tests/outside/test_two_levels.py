"""The two-level model of Wing and Kristofferson (1973) against its known answers. Simulated, seeded.

I(j) = C(j) + M(j) - M(j-1), so var(I) = sC^2 + 2 sM^2 and g(1) = -sM^2 (formulas from memory; the correlation at lag 1
is from -0.5 to 0: Doumas and Wing 2007).
"""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import detrend

from chanterd.judging.continuation import continuation, covariances, two_levels

TIMER, HAND = 15.0, 8.0


def intervals(count: int, dice: np.random.Generator) -> NDArray[np.float64]:
    """Of a player with a timer of 15 ms and a hand of 8 ms, in ms."""
    hand = dice.normal(0, HAND, count + 1)
    return 500.0 + dice.normal(0, TIMER, count) + np.diff(hand)


def test_the_covariances_are_what_the_formulas_say() -> None:
    """15 and 8 ms make a variance of 353 and a lag-1 autocovariance of -64."""
    found = intervals(200_000, np.random.default_rng(1))
    g0, g1 = covariances(list(found - found.mean()))
    assert g0 == pytest.approx(353.0, abs=5.0)
    assert g1 == pytest.approx(-64.0, abs=3.0)


def test_they_are_those_of_numpy() -> None:
    """numpy.correlate, divided by the number of intervals."""
    found = intervals(50, np.random.default_rng(2))
    rest = found - found.mean()
    whole = np.correlate(rest, rest, "full") / len(rest)
    assert covariances(list(rest)) == pytest.approx((whole[49], whole[50]))


@pytest.mark.parametrize(("count", "percent"), [(15, 27), (30, 15), (60, 7), (120, 2)])
def test_the_share_of_runs_that_cannot_be_split(count: int, percent: int) -> None:
    """The share of runs for which timer or hand comes out below zero: 27, 15, 7 and 2 % with 15, 30, 60, 120 intervals.

    The shares were computed from the model beforehand, by another simulation.
    """
    dice = np.random.default_rng(count)
    runs = (intervals(count, dice) for _ in range(3000))
    lost = sum(two_levels(*covariances(list(run - run.mean()))) is None for run in runs)
    assert 100 * lost / 3000 == pytest.approx(percent, abs=2.0)


def test_while_the_click_sounds_it_would_be_wrong() -> None:
    """With half of each error taken back (Vorberg and Wing 1996) the hand seems three times as unsteady.

    A' = (1 - a) A + C - T + M' - M, with a = 0.5, gives it 195 ms^2 for 64: so nothing is shown while the click is on.
    """
    dice, off, times = np.random.default_rng(4), 0.0, []
    hand = dice.normal(0, HAND, 100_001)
    for beat in range(100_000):
        off = 0.5 * off + dice.normal(0, TIMER) + hand[beat + 1] - hand[beat]
        times.append(beat * 500.0 + off)
    between = np.diff(times)
    found = two_levels(*covariances(list(between - between.mean())))
    assert found is not None
    assert found == pytest.approx((127.0, 195.0), abs=8.0)


def test_the_line_that_is_taken_out_is_that_of_scipy() -> None:
    """scipy.signal.detrend on the intervals of a run that gets slower gives the same timer and hand."""
    found = intervals(400, np.random.default_rng(8)) + 0.2 * np.arange(400)
    times = np.concatenate([[0.0], np.cumsum(found)])
    timing = continuation(list(enumerate(map(float, times))), 500.0, 120.0, click_off=True)
    levels = two_levels(*covariances(list(detrend(found))))
    assert levels is not None
    assert (timing["timer_ms"], timing["hand_ms"]) == pytest.approx(tuple(np.sqrt(levels)), abs=0.006)
