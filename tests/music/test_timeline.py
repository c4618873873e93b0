"""When the clicks of a score fall."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.music.grid import TempoGrid
from chanterd.music.timeline import Piece, TempoMap, Timeline, tempo_map
from chanterd.music.units import Bpm, Ns

SLOWER = TempoMap((Piece(0.0, 0.0, 5e8), Piece(4.0, 2e9, 1e9)))
"""Four clicks at 120 a minute, then 60."""


def test_each_piece_has_its_tempo_and_the_outer_ones_go_on() -> None:
    """Also before the first click, and long behind the last change."""
    assert [SLOWER.at(click) for click in (-1, 0, 3, 4, 5, 14)] == [-5e8, 0, 1.5e9, 2e9, 3e9, 12e9]


@pytest.mark.parametrize("timeline", [SLOWER, TempoGrid(Bpm(77.0), Ns(1_234_567))])
@given(click=st.floats(-50, 500))
def test_a_time_is_the_click_that_falls_then(timeline: Timeline, click: float) -> None:
    """There and back, whatever the timeline: to the nanosecond."""
    assert timeline.beats(timeline.at(click)) == pytest.approx(click, abs=1e-8)


def test_a_piece_goes_on_in_its_tempo_past_its_end() -> None:
    """Which click a time is, and when a click falls: 3 s are six clicks of half a second, though it slows down at 4."""
    assert SLOWER.pieces[0].click_at(3e9) == 6.0
    assert SLOWER.pieces[0].at(6.0) == 3e9


def test_points_make_a_map_through_all_of_them() -> None:
    """The tempo is that from each to the next; one point shows none."""
    points = [(0.0, 1e8), (2.0, 1.3e9), (3.0, 1.8e9)]
    found = tempo_map(points)
    assert found is not None
    assert [found.at(click) for click, _ in points] == [at for _, at in points]
    assert [piece.click_ns for piece in found.pieces] == [6e8, 5e8]
    assert found.at(5.0) == 2.8e9
    assert tempo_map(points[:1]) is None
    assert tempo_map([]) is None
