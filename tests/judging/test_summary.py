"""The summary of several reps, and that one stumble does not colour it."""

from dataclasses import replace

import pytest

from chanterd.following.reading import StepState
from chanterd.judging.report import RepResult, rep_result
from chanterd.judging.summary import Summary, summarise
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note
from tests.judging.followed_reps import Rep
from tests.judging.played_reps import Played, played_run

CLEAN = Rep()
LATE = Rep(off_ms={3: 90.0})
CRUSHED = Rep(length_ms={0: 5.0, 2: 6.0})
MISSING = Rep(states={3: StepState.MISSING})
REST = Rep(states=dict.fromkeys(range(4), StepState.MISSING))


def summed(*reps: Rep) -> Summary:
    """The summary of reps in that order."""
    numbered = [replace(rep, rep=number) for number, rep in enumerate(reps)]
    results: list[RepResult] = [rep_result(rep.assessed(), "") for rep in numbered]
    return summarise(results, drill_from_words("grip from B to C"), 60.0)


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
    """Two crushed steps in one rep are one crushed rep; of equals the earlier one is named first."""
    assert list(summed(LATE, CRUSHED, CLEAN, CRUSHED)["faults"].items()) == [("crushed", 2), ("late", 1)]
    both = Rep(off_ms={3: 90.0}, states={1: StepState.MISSING}, wrong={0: Note.F})
    assert list(summed(CRUSHED, both)["faults"]) == ["crushed", "missing step", "wrong note", "late"]


def test_bias_and_spread_of_the_beat_are_given_separately() -> None:
    """Medians, so that one stumble of 300 ms moves neither far; reps without the step on the beat are not counted.

    By hand: the middle of 10 and 11 is 10.5; from it they are 0.5, 0.5, 1.5, 1.5, 2.5 and 289.5 off, in the middle 1.5,
    which is a spread of 1.4826 * 1.5 = 2.224 ms (the factor for a normal distribution: Rousseeuw and Croux 1993).
    """
    offs = [8.0, 10.0, 12.0, 9.0, 11.0, 300.0]
    beat = summed(*(Rep(off_ms={3: off}) for off in offs), MISSING, REST)["beat"]
    assert beat["heard"] == 6
    assert beat["median_ms"] == 10.5
    assert beat["spread_ms"] == 2.224
    early = summed(Rep(off_ms={3: -7.0}))["beat"]
    assert (early["heard"], early["median_ms"], early["spread_ms"]) == (1, -7.0, None)


def test_with_nothing_played_there_is_nothing_to_say() -> None:
    """No reps at all, or only rests: nulls and zeros, no crash."""
    for found in (summed(), summed(REST)):
        assert found["beat"] == {
            "heard": 0,
            "median_ms": None,
            "spread_ms": None,
            "drift_ms": None,
            "error_ms": None,
            "heard_from_ms": 25.0,
            "known": False,
        }
        assert found["held"] == {"count": 0, "median_ms": None, "spread_ms": None, "longest_over_shortest": None}
        assert found["remarks"] == {"steady": [], "unsteady": [], "open": [], "next": None}
        assert (found["played"], found["clean"], found["longest_row"], found["faults"]) == (0, 0, 0, {})


def test_a_bias_is_not_mentioned_until_it_is_more_than_chance() -> None:
    """At 60 clicks 25 ms can be heard; twice the standard error must be less. Four reps are too few whatever they say.

    Spread 14.83 ms (MAD 10) over five reps: 2 * 1.2533 * 14.83 / sqrt(5) = 16.6 ms (by hand).
    """
    offs = [10.0, 20.0, 30.0, 20.0, 30.0]
    beat = summed(*(Rep(off_ms={3: off}) for off in offs))["beat"]
    assert beat["error_ms"] == pytest.approx(16.62, abs=0.01)
    assert beat["known"]
    wild = summed(*(Rep(off_ms={3: off}) for off in (-40.0, 39.0, -20.0, 35.0, 10.0)))["beat"]
    assert wild["error_ms"] is not None
    assert wild["error_ms"] > 25.0
    assert not wild["known"]
    few = summed(*[Rep(off_ms={3: 20.0})] * 4)["beat"]
    assert (few["error_ms"], few["known"]) == (None, False)


def test_a_drift_is_given_per_rep() -> None:
    """Each rep 2 ms later than the one before, but for a stumble and a rest: 2 ms a rep."""
    reps = [Rep(off_ms={3: 2.0 * number}) for number in range(9)]
    reps[4] = REST
    reps[6] = Rep(off_ms={3: 250.0})
    assert summed(*reps)["beat"]["drift_ms"] == pytest.approx(2.0)


def test_the_sizes_of_held_and_quick_steps_are_kept_apart() -> None:
    """Over all steps of a kind; how even they were is shown rep by rep."""
    found = summed(*[Rep(length_ms={0: 50.0, 1: 30.0, 2: 60.0})] * 3)
    assert (found["held"]["count"], found["held"]["median_ms"]) == (6, 55.0)
    assert found["held"]["longest_over_shortest"] == 1.2
    assert (found["quick"]["median_ms"], found["quick"]["spread_ms"]) == (30.0, 0.0)
    assert found["quick"]["longest_over_shortest"] is None


SMALL, LARGE = Played(length_ms={0: 55.0, 2: 55.0}), Played(length_ms={0: 110.0, 2: 110.0})


@pytest.mark.parametrize("bpm", [40.0, 80.0, 120.0])
@pytest.mark.parametrize(
    "ways",
    [(SMALL, LARGE), (SMALL, SMALL, LARGE), (LARGE, SMALL, SMALL, LARGE, SMALL), (LARGE, LARGE, LARGE, SMALL)],
)
def test_two_sizes_are_not_the_same_each_time(ways: tuple[Played, ...], bpm: float) -> None:
    """Low Gs of 55 and 110 ms, by turns or mixed: every rep is clean, and still nobody is ready for more."""
    reps = played_run("grip from B to C", bpm, *ways, reps=15)
    found = summarise(reps, drill_from_words("grip from B to C"), bpm)
    assert found["clean"] == 15
    assert found["remarks"]["unsteady"][0].startswith("Your held notes change from rep to rep")
    assert found["remarks"]["next"] == {
        "said": f"Next: the same at {bpm:g}, until it is the same each time.",
        "drill": "grip from B to C",
        "click_bpm": bpm,
    }


def test_one_size_is_ready_whatever_it_is() -> None:
    """How open the steps are is a matter of style: all of them at 55 ms, or all at 110."""
    for way in (SMALL, LARGE):
        found = summarise(
            played_run("grip from B to C", 80.0, way, reps=15), drill_from_words("grip from B to C"), 80.0
        )
        assert found["remarks"]["next"] is not None
        assert found["remarks"]["next"]["said"] == "You are ready for more: the same at 84."
