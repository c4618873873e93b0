"""Thinning out: what represents a week or a month."""

from chanterd.history.answers import DayPractised, PlacementDay, TempoDay, Way
from chanterd.progress.downsample import (
    PlacementPoint,
    PracticePoint,
    TempoPoint,
    thin_placement,
    thin_practice,
    thin_tempo,
)
from chanterd.progress.resolution import Grain

WAY = Way("grip", "B", "C")
MONDAY, TUESDAY, NEXT = "2026-03-23", "2026-03-24", "2026-03-30"


def test_a_week_is_as_fast_as_its_fastest_day() -> None:
    """Held once is held."""
    days = [TempoDay(WAY, MONDAY, 60.0), TempoDay(WAY, TUESDAY, 72.0), TempoDay(WAY, NEXT, 64.0)]
    assert thin_tempo(days, Grain.WEEK) == [TempoPoint(MONDAY, 72.0), TempoPoint(NEXT, 64.0)]


def test_a_week_is_placed_as_its_middle_day() -> None:
    """One bad day does not colour the week; days on which the beat was not heard say nothing of it."""
    days = [
        PlacementDay(WAY, MONDAY, 9, 10, 8, 10.0, 5.0),
        PlacementDay(WAY, TUESDAY, 9, 10, 6, 14.0, None),
        PlacementDay(WAY, "2026-03-25", 9, 10, 0, 200.0, 7.0),
        PlacementDay(WAY, NEXT, 0, 10, 0, None, None),
    ]
    assert thin_placement(days, Grain.WEEK) == [PlacementPoint(MONDAY, 14.0, 6.0, 30, 14)]


def test_practice_adds_up() -> None:
    """Days are counted, minutes and reps added."""
    days = [DayPractised(day, 2, 20, 10, 1, 12.5) for day in (MONDAY, TUESDAY, NEXT)]
    assert thin_practice(days, Grain.WEEK) == [PracticePoint(MONDAY, 2, 25.0, 40), PracticePoint(NEXT, 1, 12.5, 20)]


def test_by_days_nothing_is_thinned_out() -> None:
    """A point for each day."""
    days = [TempoDay(WAY, MONDAY, 60.0), TempoDay(WAY, TUESDAY, 72.0)]
    assert thin_tempo(days, Grain.DAY) == [TempoPoint(MONDAY, 60.0), TempoPoint(TUESDAY, 72.0)]


def test_weeks_are_in_order_and_figures_have_one_decimal() -> None:
    """Whatever order the days are in; a tenth of a ms or of a minute is as fine as anybody reads."""
    assert [one.day for one in thin_tempo([TempoDay(WAY, NEXT, 64.0), TempoDay(WAY, MONDAY, 60.0)], Grain.WEEK)] == [
        MONDAY,
        NEXT,
    ]
    (point,) = thin_placement([PlacementDay(WAY, MONDAY, 9, 10, 8, 10.26, 5.04)], Grain.WEEK)
    assert (point.bias_ms, point.spread_ms) == (10.3, 5.0)
    (practice,) = thin_practice([DayPractised(MONDAY, 2, 20, 10, 1, 12.34)], Grain.WEEK)
    assert practice.minutes == 12.3
