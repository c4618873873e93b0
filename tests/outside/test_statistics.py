"""The summary's robust statistics against SciPy, a general-purpose reference library."""

import math
from statistics import median

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import median_abs_deviation, norm

from chanterd.judging.report import rep_result
from chanterd.judging.summary import MAD_TO_SD, spread, summarise
from tests.judging.reps import Rep

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
    results = [rep_result(rep.told(), "") for rep in (Rep(off_ms={3: off}) for off in offs)]
    beat = summarise(results)["beat"]
    assert beat["median_ms"] == pytest.approx(float(np.median(offs)), abs=0.0011)
    assert beat["spread_ms"] == pytest.approx(median_abs_deviation(offs, scale="normal"), abs=0.004)
    assert beat["median_ms"] is not None
    assert math.isclose(beat["median_ms"], median(offs), abs_tol=0.0011)
