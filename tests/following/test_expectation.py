"""What is expected next of a player who is early or late."""

import pytest

from chanterd.following.expectation import AT_ONCE_CLICKS, FADE, FARTHEST_CLICKS, LEARN, by_click
from chanterd.music.drill import drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.grid import TempoGrid
from chanterd.music.units import NS_PER_MS, Bpm, Ns

GRID = TempoGrid(Bpm(60.0), Ns(123_456_789))
SCORE = drill_score(drill_from_words("grip from B to C"), GRID.click_bpm)


def test_a_habit_is_expected_more_and_more() -> None:
    """A player 80 ms late is expected 56 ms late in the next rep, and nearly 80 ms late after five."""
    expected = by_click(SCORE, GRID)
    for _ in range(5):
        expected.learn(0, 80 * NS_PER_MS - expected.shift_ns)
    assert expected.shift_ns == pytest.approx(80 * NS_PER_MS * (1 - (1 - LEARN) ** 5))
    assert expected.due(1, [0.0, 5.0]) == [
        SCORE.start(1) * 1e9 + expected.shift_ns,
        SCORE.start(1) * 1e9 + 5 + expected.shift_ns,
    ]


def test_one_stumble_moves_it_no_farther_than_its_limits() -> None:
    """However far off a rep is: at once by part of a click, and never a whole one."""
    expected = by_click(SCORE, GRID)
    expected.learn(0, 5e9)
    assert expected.shift_ns == LEARN * AT_ONCE_CLICKS * GRID.click_ns
    for _ in range(20):
        expected.learn(0, -5e9)
    assert expected.shift_ns == -FARTHEST_CLICKS * GRID.click_ns


def test_a_rest_brings_it_back_to_the_click() -> None:
    """Who rests hears the click meanwhile."""
    expected = by_click(SCORE, GRID)
    expected.learn(0, 50 * NS_PER_MS)
    before = expected.shift_ns
    expected.learn(0, None)
    assert expected.shift_ns == before * (1 - FADE)
