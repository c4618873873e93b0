"""Where the segments of a run are in time."""

import pytest

from chanterd.music.drill import drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.grid import TempoGrid
from chanterd.music.layout import read_layouts
from chanterd.music.units import Bpm, Ns
from chanterd.serving.wire.segments import segment_view
from chanterd.serving.wire.views import sequence_view

DRILL = drill_from_words("grip from B to C")


def test_a_segment_is_placed_in_clicks_and_in_ms_from_beat_0() -> None:
    """Whenever beat 0 is; at 90 a click is two thirds of a second."""
    shown = segment_view(drill_score(DRILL, Bpm(90)), TempoGrid(Bpm(90), Ns(77)), 3)
    assert shown == {
        "rep": 3,
        "starts": 6,
        "beat": 7.0,
        "ends": 8,
        "starts_ms": 4000.0,
        "beat_ms": pytest.approx(4666.667),
    }


@pytest.mark.parametrize(
    ("layout", "clicks_ms"),
    [("two clicks", [-1000, 0]), ("every click", [0]), ("long note before", [-2000, -1000, 0, 1000])],
)
def test_the_clicks_of_a_rep_are_those_that_fall_in_it(layout: str, clicks_ms: list[float]) -> None:
    """From its start on, up to the start of the next; its own beat is one of them."""
    [asked] = sequence_view(drill_score(DRILL, Bpm(60), layout=read_layouts()[layout]))
    assert asked["clicks_ms"] == clicks_ms


@pytest.mark.parametrize("layout", read_layouts())
def test_every_own_beat_is_on_a_click_and_one_rep_ends_where_the_next_starts(layout: str) -> None:
    """In each layout, at a tempo that is no round number of ms."""
    score = drill_score(DRILL, Bpm(77), layout=read_layouts()[layout])
    grid = TempoGrid(Bpm(77), Ns(0))
    shown = [segment_view(score, grid, turn) for turn in range(20)]
    assert all(one["beat"] == round(one["beat"]) for one in shown)
    assert [one["ends"] for one in shown[:-1]] == [one["starts"] for one in shown[1:]]
    assert all(0.0 in asked["clicks_ms"] for asked in sequence_view(score))
