"""The tempo grid: clicks in time, and which tempi are taken."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.config import ChanterdError
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM, TempoGrid, click_bpm
from chanterd.music.units import Bpm, Ns

TEMPI = st.floats(SLOWEST_BPM, FASTEST_BPM)


@pytest.mark.parametrize("value", [SLOWEST_BPM, 60, 72.5, FASTEST_BPM])
def test_a_tempo_within_the_range_is_taken(value: float) -> None:
    """Both ends are included, and whole numbers become floats."""
    assert click_bpm(value) == value
    assert isinstance(click_bpm(value), float)


@pytest.mark.parametrize(
    "value",
    [0, -60, 19.999, 300.001, math.nan, math.inf, -math.inf, True, "60", None, [60]],
    ids=repr,
)
def test_any_other_tempo_is_refused_in_one_sentence(value: object) -> None:
    """Zero, NaN, infinity, a truth value, a text: the sentence names field, value and range, and an example."""
    with pytest.raises(ChanterdError) as caught:
        click_bpm(value)
    assert str(caught.value) == (
        f"The tempo click_bpm is {value!r}; it must be a number of clicks a minute from 20 to 300, such as 60."
    )


def test_sixty_clicks_a_minute_are_a_second_apart() -> None:
    """By definition of the metronome mark; beat 0 is where the grid says, and count-in clicks come before it."""
    grid = TempoGrid(Bpm(60.0), Ns(5))
    assert grid.click_ns == 1e9
    assert [grid.at(beat) for beat in (-4, 0, 1, 2.5)] == [5 - 4 * 10**9, 5, 5 + 10**9, 5 + 25 * 10**8]


@given(TEMPI, st.integers(-100, 100_000))
def test_rounding_does_not_add_up(bpm: float, beat: int) -> None:
    """However late in the run, a click is at most a nanosecond off the exact product."""
    grid = TempoGrid(Bpm(bpm), Ns(0))
    assert abs(grid.at(beat) - beat * 60e9 / bpm) <= 1


@given(TEMPI, st.integers(0, 10**15), st.floats(-10, 10_000))
def test_a_time_is_on_the_beat_that_falls_there(bpm: float, beat0_ns: int, beat: float) -> None:
    """``beats`` undoes ``at``, to a millionth of a click."""
    grid = TempoGrid(Bpm(bpm), Ns(beat0_ns))
    assert grid.beats(grid.at(beat)) == pytest.approx(beat, abs=1e-6)
