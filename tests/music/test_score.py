"""Scores: which segment each turn is, and when it starts."""

import pytest

from chanterd.music.drill import drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.layout import read_layouts
from chanterd.music.score import Edge, over_and_over
from chanterd.music.segment import make_segment
from chanterd.music.units import Bpm

DRILL = drill_from_words("grip from B to C")
LAYOUTS = read_layouts()


def test_rep_k_of_a_plain_drill_starts_on_beat_2k() -> None:
    """And its ornament is on beat 2k + 1."""
    score = drill_score(DRILL, Bpm(60))
    assert [score.start(turn) for turn in range(4)] == [0, 2, 4, 6]
    assert score.segment(3).beat_ns == 1_000_000_000


@pytest.mark.parametrize("name", LAYOUTS)
def test_each_beat_belongs_to_the_turn_that_goes_on_then(name: str) -> None:
    """From its start to the next one's, before the first one to none, and all the way up and down the scale."""
    score = drill_score(DRILL, Bpm(60), layout=LAYOUTS[name])
    for turn in (0, 1, 7, 23):
        assert score.turn_at(score.start(turn)) == turn
        assert score.turn_at(score.start(turn) - 0.01) == turn - 1


def test_segments_need_not_be_equally_long() -> None:
    """A turn starts where the one before ends, over and over; nothing multiplies a rep by its length."""
    segments = tuple(make_segment(DRILL, Bpm(60), layout=LAYOUTS[name]) for name in ("every click", "long note before"))
    score = over_and_over(segments, [0.5, 1.5], 5.0)
    assert [score.start(turn) for turn in range(4)] == [0.5, 1.5, 5.5, 6.5]
    assert [score.turn_at(click) for click in (0.0, 0.5, 1.4, 1.5, 5.4, 5.5, 6.5)] == [-1, 0, 0, 1, 1, 2, 3]
    assert score.edges == ((Edge(1, 1.0),), (Edge(0, 4.0, loops=True),))
