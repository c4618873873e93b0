"""The figures of the progress view against NumPy and SciPy, general-purpose reference libraries.

What was played is simulated: the deviations are drawn by lot (seeded), go through the real judge into a history, and
come out as a picture.
"""

from collections import defaultdict
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import median_abs_deviation

from chanterd.history.answers import PlacementDay, Span, Way
from chanterd.history.store import open_store
from chanterd.judging.standard import read_standards
from chanterd.progress.downsample import thin_placement
from chanterd.progress.progress import progress_of
from chanterd.progress.resolution import Grain
from tests.history.practised_runs import noon, practise, somebody

WAY = Way("grip", "B", "C")


def test_bias_and_spread_over_time_are_median_and_scaled_mad(tmp_path: Path) -> None:
    """Five days of a run of 12 reps each: numpy.median and scipy.stats.median_abs_deviation(scale="normal")."""
    dice = np.random.default_rng(7)
    offs = [np.round(dice.normal(15 - 3 * day, 6, 12), 1) for day in range(5)]
    store = open_store(None, tmp_path)
    person = somebody(store)
    for day, values in enumerate(offs):
        practise(store, person, list(values), wall=noon(day))
    with store.reading() as connection:
        shown = progress_of(connection, person, Span(), read_standards()).shown
    store.close()
    assert shown is not None
    assert [point.bias_ms for point in shown.placement] == pytest.approx([np.median(one) for one in offs], abs=0.06)
    assert [point.spread_ms for point in shown.placement] == pytest.approx(
        [median_abs_deviation(one, scale="normal") for one in offs], abs=0.06
    )


@given(st.lists(st.tuples(st.integers(0, 200), st.floats(-80, 80), st.floats(0, 60)), min_size=1, max_size=80))
def test_a_week_is_the_median_of_its_days(figures: list[tuple[int, float, float]]) -> None:
    """numpy.median by the standard library's own ISO weeks; odd and even counts, in any order of days."""
    first = date(2025, 9, 1).toordinal()
    days = [
        PlacementDay(WAY, date.fromordinal(first + after).isoformat(), 5, 5, 3, bias, spread)
        for after, bias, spread in figures
    ]
    weeks: dict[tuple[int, int], list[PlacementDay]] = defaultdict(list)
    for one in days:
        weeks[date.fromisoformat(one.day).isocalendar()[:2]].append(one)
    points = thin_placement(days, Grain.WEEK)
    expected = [weeks[week] for week in sorted(weeks)]
    assert [point.bias_ms for point in points] == pytest.approx(
        [np.median([one.bias_ms for one in of]) for of in expected], abs=0.051
    )
    assert [point.spread_ms for point in points] == pytest.approx(
        [np.median([one.spread_ms for one in of]) for of in expected], abs=0.051
    )
