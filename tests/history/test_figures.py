"""The figures of a run, and a judged rep as rows."""

import numpy as np
import pytest
from scipy import stats

from chanterd.history.figures import Figures, evenness, fault_rows, rep_row, step_rows
from tests.history.practised_runs import GRIP, judged

OFFS_MS = [3.0, -4.0, 12.0, 7.0, None, 5.0, 70.0]


def test_bias_and_spread_are_median_and_scaled_mad() -> None:
    """As scipy.stats.median_abs_deviation(scale="normal") has it, from the deviations that were judged."""
    results = judged(GRIP, OFFS_MS)
    figures = Figures()
    figures.add(results)
    anchors = [result["anchor_ms"] for result in results if result["anchor_ms"] is not None]
    row = figures.as_row()
    assert row["heard"] == len(anchors) == 6
    assert row["bias_ns"] == pytest.approx(np.median(anchors) * 1e6, abs=1)
    expected = stats.median_abs_deviation(anchors, scale="normal") * 1e6
    assert row["spread_ns"] == pytest.approx(expected, abs=1)


def test_a_rest_counts_as_a_rep_and_breaks_no_row() -> None:
    """Four clean, a rest, one more clean and one that is late: played six, the longest row is five."""
    figures = Figures()
    figures.add(judged(GRIP, OFFS_MS))
    assert (figures.reps, figures.played, figures.clean, figures.longest_row) == (7, 6, 5, 5)


def test_a_rep_that_is_not_clean_breaks_the_row() -> None:
    """Two clean, one late, one clean: the longest row is two."""
    figures = Figures()
    figures.add(judged(GRIP, [3.0, 4.0, 90.0, 5.0]))
    assert (figures.clean, figures.longest_row) == (3, 2)


def test_counting_in_two_goes_comes_to_the_same() -> None:
    """A run that was cut off and read again goes on where it was."""
    results = judged(GRIP, OFFS_MS)
    once, twice = Figures(), Figures()
    once.add(results)
    twice.add(results[:3])
    twice.add(results[3:])
    assert once.as_row() == twice.as_row()


def test_nothing_heard_has_no_bias_and_one_value_no_spread() -> None:
    """They are None, not 0."""
    figures = Figures()
    assert figures.as_row()["bias_ns"] is None
    figures.add(judged(GRIP, [4.0]))
    assert figures.as_row()["bias_ns"] is not None
    assert figures.as_row()["spread_ns"] is None


def test_evenness_is_the_longest_held_step_over_the_shortest() -> None:
    """The simulated grip holds both low Gs for 60 ms: 1 is even."""
    (result,) = judged(GRIP, [0.0])
    assert evenness(result) == pytest.approx(1.0, abs=0.01)
    result["shape"]["held"]["longest_over_shortest"] = 1.5
    assert evenness(result) == 1.5


def test_held_notes_are_those_the_judge_measured() -> None:
    """With the crossing noise behind them, and without wrong notes: the lengths that the player is shown."""
    (result,) = judged(GRIP, [0.0])
    figures = Figures()
    figures.add([result])
    held = result["shape"]["held"]["lengths_ms"]
    assert len(held) == 2
    assert figures.as_row()["held_ns"] == pytest.approx(np.median(held) * 1e6, abs=1)
    result["shape"]["held"]["lengths_ms"] = [80.0, 90.0]
    changed = Figures()
    changed.add([result])
    assert changed.as_row()["held_ns"] == 85_000_000


def test_one_held_step_has_no_evenness() -> None:
    """There is nothing to be even with: a doubling holds one."""
    (result,) = judged("doubling from low A to C", [0.0])
    assert evenness(result) is None


def test_a_rep_is_a_row_and_its_steps_are_rows_from_the_lead_on() -> None:
    """Whole ns; deviation is onset less expected."""
    (result,) = judged(GRIP, [5.0])
    assert rep_row(7, result)["anchor_ns"] == pytest.approx(5_000_000, abs=1_000)
    rows = step_rows(7, result)
    assert [row["step"] for row in rows] == [-1, 0, 1, 2, 3]
    assert [row["kind"] for row in rows] == ["lead", "held", "quick", "held", "theme"]
    for row in rows:
        assert row["deviation_ns"] == row["onset_ns"] - row["expected_ns"]


def test_a_rep_that_was_skipped_has_no_steps() -> None:
    """They would all be missing."""
    results = judged(GRIP, [0.0, None, 0.0])
    assert results[1]["skipped"]
    assert step_rows(7, results[1]) == []


def test_faults_keep_their_order_and_words() -> None:
    """The most important first."""
    (result,) = judged(GRIP, [80.0])
    (row,) = fault_rows(7, result)
    assert (row["number"], row["fault"]) == (0, "late")
    assert row["said"] == result["faults"][0]["said"]
