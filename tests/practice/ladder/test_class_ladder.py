"""A class's tempo ladder: up when enough have their row."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.units import Bpm
from chanterd.practice.ladder.class_ladder import ClassRule


def rule(share: float = 0.75, in_a_row: int = 3) -> ClassRule:
    """Up by 4, at most to 70."""
    return ClassRule(4.0, Bpm(70.0), in_a_row, share)


@pytest.mark.parametrize(
    ("share", "playing", "needed"),
    [(0.75, 12, 9), (0.75, 10, 8), (0.7, 10, 7), (1, 16, 16), (0.5, 3, 2), (0.01, 40, 1)],
)
def test_how_many_are_enough(share: float, playing: int, needed: int) -> None:
    """The share of those who play, rounded up, and one at least."""
    assert rule(share).needed(playing) == needed


@pytest.mark.parametrize(
    ("rows", "click_bpm", "after"),
    [
        ([3, 3, 3, 0], 60.0, 64.0),
        ([3, 3, 2, 9], 60.0, 64.0),
        ([3, 3, 2, 2], 60.0, 60.0),
        ([3, 3, 3, 3], 68.0, 70.0),
        ([9, 9, 9, 9], 70.0, 70.0),
        ([], 60.0, 60.0),
    ],
)
def test_enough_rows_lead_up_to_the_top(rows: list[int], click_bpm: float, after: float) -> None:
    """By one notch, never beyond the top, and never without players."""
    assert rule().after(Bpm(click_bpm), rows) == after


def test_it_says_how_far_the_class_is() -> None:
    """How many have their row, how many are needed, and where that leads."""
    assert rule().said(Bpm(60.0), [3, 4, 0, 1]) == "2 of 4 have 3 clean in a row. With 3 it goes up to 64."
    assert rule().said(Bpm(70.0), [3, 4, 0, 1]) == "This is the top. 2 of 4 have 3 clean in a row."


def test_a_class_does_not_begin_above_the_top() -> None:
    """The sentence has both tempi."""
    rule().check(Bpm(70.0))
    with pytest.raises(ChanterdError, match="top is 70 clicks a minute, below the first tempo, 71"):
        rule().check(Bpm(71.0))
