"""How a tempo was kept without the click. The players are simulated."""

from math import pi, sin
from random import Random

import pytest

from chanterd.judging.continuation import (
    Beat,
    continuation,
    covariances,
    intervals_of,
    two_levels,
)


def beats(
    count: int, interval: float = 500.0, timer: float = 15.0, hand: float = 8.0, drift: float = 0.0
) -> list[Beat]:
    """That many beats of a player with that timer and hand; each interval longer than the last by ``drift``. In ms."""
    dice, at, found = Random(11), 1000.0, []  # noqa: S311 - play, not secrets
    for rep in range(count):
        found.append((rep, at + dice.gauss(0, hand)))
        at += interval + rep * drift + dice.gauss(0, timer)
    return found


def test_timer_and_hand_are_measured_separately() -> None:
    """Of a timer of 15 ms and a hand of 8 ms, over 2000 beats."""
    timing = continuation(beats(2001), 500.0, 120.0, click_off=True)
    assert timing["timer_ms"] == pytest.approx(15.0, abs=1.0)
    assert timing["hand_ms"] == pytest.approx(8.0, abs=1.0)
    assert (timing["intervals"], timing["sure"]) == (2000, True)
    assert timing["kept_bpm"] == pytest.approx(120.0, abs=0.3)
    tempo, drift, levels = timing["said"]
    assert tempo == "You kept 120.0 clicks a minute, close to the 120 you set."
    assert drift == "Your tempo held to the end."
    assert levels == "Your inner timing varies by ± 15 ms from rep to rep; your hand adds ± 8 ms to each beat."


def test_a_beat_that_was_wound_up_to_is_neither_timer_nor_hand() -> None:
    """One in thirty comes 150 ms late, as after a slip, the next one on time: the two levels stay what they were."""
    wound_up = [(rep, at + (150.0 if rep % 30 == 7 else 0.0)) for rep, at in beats(1201)]
    timing = continuation(wound_up, 500.0, 120.0, click_off=True)
    assert timing["timer_ms"] == pytest.approx(15.0, abs=1.5)
    assert timing["hand_ms"] == pytest.approx(8.0, abs=1.5)
    assert timing["intervals"] == pytest.approx(1120, abs=5)


def test_two_levels_of_known_covariances() -> None:
    """By the formulas: 353 and -64 are 225 and 64; a positive g(1), or one under -g(0)/2, is no player's."""
    assert two_levels(353.0, -64.0) == (225.0, 64.0)
    assert two_levels(100.0, 0.1) is None
    assert two_levels(100.0, -50.1) is None
    assert two_levels(100.0, -50.0) == (0.0, 50.0)


def test_a_drift_is_reported_and_not_blamed_on_the_timer() -> None:
    """Getting slower by 0.4 ms an interval over 200 of them: reported as drift, and the timer stays what it was."""
    timing = continuation(beats(201, drift=0.4), 500.0, 120.0, click_off=True)
    assert timing["drift_percent"] == pytest.approx(-100 * 79.6 / 579.6, abs=1.5)
    assert timing["said"][1].startswith("You got 1")
    assert timing["said"][1].endswith("% slower from beginning to end.")
    assert timing["timer_ms"] is not None
    assert timing["timer_ms"] == pytest.approx(15.0, abs=3.0)


def test_a_tempo_off_by_more_than_can_be_noticed_is_said() -> None:
    """Under 1.5 % nobody notices (Drake and Botte 1993)."""
    near = continuation(beats(60, interval=504.0, timer=2, hand=1), 500.0, 120.0, click_off=True)
    far = continuation(beats(60, interval=485.0, timer=2, hand=1), 500.0, 120.0, click_off=True)
    assert near["said"][0].endswith("close to the 120 you set.")
    assert far["said"][0] == "You kept 123.7 clicks a minute, 3.0 % faster than the 120 you set."


def test_with_the_click_on_the_model_is_not_used() -> None:
    """It would be wrong: no figures, and the reason."""
    timing = continuation(beats(200), 500.0, 120.0, click_off=False)
    assert (timing["timer_ms"], timing["hand_ms"], timing["sure"]) == (None, None, False)
    assert "with the click on" in timing["said"][-1]


@pytest.mark.parametrize(("intervals", "sure"), [(99, False), (100, True)])
def test_under_a_hundred_intervals_it_is_unsure(intervals: int, sure: bool) -> None:  # noqa: FBT001
    """Just below and at the limit; the figures are shown all the same, with the warning."""
    timing = continuation(beats(intervals + 1), 500.0, 120.0, click_off=True)
    assert timing["sure"] is sure
    assert ("rough" in timing["said"][-1]) is not sure
    assert timing["timer_ms"] is not None


def test_a_run_that_the_model_does_not_fit_says_so() -> None:
    """Intervals that swing slowly are long together: g(1) is positive, which no hand can do."""
    at, found = 0.0, []
    for rep in range(60):
        found.append((rep, at))
        at += 500.0 + 20.0 * sin(2 * pi * rep / 20)
    timing = continuation(found, 500.0, 120.0, click_off=True)
    assert (timing["timer_ms"], timing["hand_ms"]) == (None, None)
    assert "cannot be measured apart in this run" in timing["said"][2]


def test_beats_as_even_as_can_be_leave_nothing_to_timer_or_hand() -> None:
    """Both are 0, and neither is printed as -0."""
    timing = continuation([(rep, 500.0 * rep) for rep in range(60)], 500.0, 120.0, click_off=True)
    assert (str(timing["timer_ms"]), str(timing["hand_ms"])) == ("0.0", "0.0")


@pytest.mark.parametrize("count", range(9))
def test_too_few_beats_tell_nothing(count: int) -> None:
    """No figure, no division by nothing; one sentence with what is needed."""
    timing = continuation(beats(count), 500.0, 120.0, click_off=True)
    assert (timing["kept_bpm"], timing["timer_ms"]) == (None, None)
    assert timing["said"] == [
        f"Too few reps to judge how you kept the tempo: {max(count - 1, 0)} in a row so far, at least 8 needed."
    ]


def test_rests_and_stumbles_are_no_intervals() -> None:
    """A rep left out, and one that came after a stop: three of six intervals are there."""
    assert intervals_of([(0, 0.0), (1, 500.0), (3, 1500.0), (4, 2010.0), (5, 3500.0), (6, 3990.0)]) == [
        500.0,
        None,
        510.0,
        None,
        490.0,
    ]


def test_neighbours_across_a_gap_are_no_neighbours() -> None:
    """g(1) is from the one pair that follows each other."""
    g0, g1 = covariances([1.0, None, 2.0, -3.0])
    assert g0 == pytest.approx(14 / 3)
    assert g1 == pytest.approx(-6.0 * 2 / 3)


def test_where_every_other_beat_is_missing_there_are_no_intervals() -> None:
    """Two reps are no long rep, however regular."""
    assert intervals_of([(0, 0.0), (2, 1000.0), (4, 2000.0)]) == []
