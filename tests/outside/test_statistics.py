"""The summary's robust statistics against SciPy, a general-purpose reference library."""

import math
from statistics import median

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import median_abs_deviation, norm, theilslopes

from chanterd.judging.report import rep_result
from chanterd.judging.robust import MAD_TO_SD, MOST_FOR_DRIFT, drift, spread, standard_error
from chanterd.judging.summary import summarise
from tests.judging.followed_reps import Rep

DEVIATIONS = st.lists(st.floats(-500, 500), min_size=1, max_size=60)


def test_the_scale_makes_a_normal_distributions_spread_its_standard_deviation() -> None:
    """1 / Phi^-1(3/4), by scipy.stats.norm.ppf; 1.482602218505602."""
    assert pytest.approx(1 / norm.ppf(0.75), rel=1e-12) == MAD_TO_SD


@given(DEVIATIONS)
def test_the_spread_is_the_scaled_median_absolute_deviation(values: list[float]) -> None:
    """scipy.stats.median_abs_deviation(scale="normal"), odd and even counts, with ties and outliers."""
    assert spread(values) == pytest.approx(median_abs_deviation(values, scale="normal"), rel=1e-9, abs=1e-9)


def test_for_normal_deviations_it_estimates_their_standard_deviation() -> None:
    """Ten thousand simulated deviations (seeded) with a standard deviation of 12 ms: within 0.5 ms."""
    values = np.random.default_rng(5).normal(9.0, 12.0, 10_000)
    assert spread(list(values)) == pytest.approx(12.0, abs=0.5)


@given(st.lists(st.floats(-35, 35), min_size=2, max_size=12))
def test_the_summary_of_a_run_agrees(offs: list[float]) -> None:
    """Median and spread of the beat over a run's reps, to the microsecond of the report and its roundings."""
    results = [rep_result(rep.assessed(), "") for rep in (Rep(off_ms={3: off}) for off in offs)]
    beat = summarise(results)["beat"]
    assert beat["median_ms"] == pytest.approx(float(np.median(offs)), abs=0.0011)
    assert beat["spread_ms"] == pytest.approx(median_abs_deviation(offs, scale="normal"), abs=0.004)
    assert beat["median_ms"] is not None
    assert math.isclose(beat["median_ms"], median(offs), abs_tol=0.0011)


@given(st.lists(st.tuples(st.integers(0, 400), st.floats(-300, 300)), min_size=2, max_size=60))
def test_the_drift_is_the_theil_sen_slope(places: list[tuple[int, float]]) -> None:
    """scipy.stats.theilslopes: the median slope over pairs of distinct places (Sen 1968), ties and gaps included."""
    at, values = [place for place, _ in places], [value for _, value in places]
    assert len(at) <= MOST_FOR_DRIFT
    if len(set(at)) == 1:
        assert drift(values, at) is None  # scipy warns and has NaN there
    else:
        with np.errstate(invalid="ignore"):  # its confidence interval, which we do not use, has none with many ties
            slope = float(theilslopes(values, at)[0])
        assert drift(values, at) == pytest.approx(slope, rel=1e-9, abs=1e-9)


def test_the_standard_error_is_that_of_medians_seen() -> None:
    """Medians of 25 normal deviations of 15 ms, ten thousand times (seeded): they spread as the formula says, 3.76 ms.

    numpy and scipy.stats; the formula is asymptotic, so within a twentieth.
    """
    rng = np.random.default_rng(3)
    seen = float(np.std(np.median(rng.normal(0.0, 15.0, (10_000, 25)), axis=1)))
    assert math.sqrt(math.pi / 2) * 15.0 / math.sqrt(25) == pytest.approx(seen, rel=0.05)
    one = rng.normal(0.0, 15.0, 4_000)
    assert standard_error(list(one)) == pytest.approx(math.sqrt(math.pi / 2) * 15.0 / math.sqrt(4_000), rel=0.1)
