"""The summary of several reps, and that one stumble does not colour it."""

from statistics import StatisticsError

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.following.reading import State
from chanterd.judging.report import RepResult, rep_result
from chanterd.judging.summary import Summary, spread, summarise
from chanterd.trade.note import Note
from tests.judging.reps import Rep

CLEAN = Rep()
LATE = Rep(off_ms={3: 90.0})
CRUSHED = Rep(length_ms={0: 5.0, 2: 6.0})
MISSING = Rep(states={3: State.MISSING})
REST = Rep(states=dict.fromkeys(range(4), State.MISSING))


def summed(*reps: Rep) -> Summary:
    """The summary of reps in that order."""
    results: list[RepResult] = [rep_result(rep.told(), "") for rep in reps]
    return summarise(results)


def test_reps_are_counted_and_rests_left_out() -> None:
    """All, the played ones, the clean ones."""
    found = summed(CLEAN, REST, LATE, CLEAN, REST)
    assert (found["reps"], found["played"], found["clean"]) == (5, 3, 2)


def test_the_longest_row_is_the_most_clean_reps_one_after_the_other() -> None:
    """A fault breaks it, a rest does not: only what was played counts."""
    assert summed(CLEAN, CLEAN, LATE, CLEAN, CLEAN, REST, CLEAN)["longest_row"] == 3
    assert summed(CLEAN, CLEAN, CLEAN, LATE, CLEAN)["longest_row"] == 3
    assert summed(LATE, LATE)["longest_row"] == 0


def test_a_fault_counts_once_a_rep_and_the_commonest_comes_first() -> None:
    """Two crushed steps in one rep are one crushed rep; of equals the one that came first is told first."""
    assert list(summed(LATE, CRUSHED, CLEAN, CRUSHED)["faults"].items()) == [("crushed", 2), ("late", 1)]
    both = Rep(off_ms={3: 90.0}, states={1: State.MISSING}, wrong={0: Note.F})
    assert list(summed(CRUSHED, both)["faults"]) == ["crushed", "missing step", "wrong note", "late"]


def test_the_beat_is_told_by_bias_and_spread_apart() -> None:
    """Medians, so that one stumble of 300 ms moves neither far; reps without the step on the beat are not counted."""
    offs = [8.0, 10.0, 12.0, 9.0, 11.0, 300.0]
    beat = summed(*(Rep(off_ms={3: off}) for off in offs), MISSING, REST)["beat"]
    assert beat["heard"] == 6
    assert beat["median_ms"] == 10.5
    assert beat["spread_ms"] is not None
    assert 1.0 < beat["spread_ms"] < 3.0
    early = summed(Rep(off_ms={3: -7.0}))["beat"]
    assert early == {"heard": 1, "median_ms": -7.0, "spread_ms": None}


def test_with_nothing_played_there_is_nothing_to_say() -> None:
    """No reps at all, or only rests: nulls and zeros, no crash."""
    for found in (summed(), summed(REST)):
        assert found["beat"] == {"heard": 0, "median_ms": None, "spread_ms": None}
        assert (found["played"], found["clean"], found["longest_row"], found["faults"]) == (0, 0, 0, {})


def test_a_spread_needs_values() -> None:
    """Of none there is none."""
    with pytest.raises(StatisticsError):
        spread([])


FINITE = st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=40)


@given(FINITE, st.floats(-1e3, 1e3))
def test_the_spread_does_not_depend_on_the_bias(values: list[float], bias: float) -> None:
    """A steady habit moves the middle and nothing else."""
    assert spread([value + bias for value in values]) == pytest.approx(spread(values), abs=1e-6)
