"""WallTime-clock time as it is kept."""

import time

from chanterd.history.wall_clock import WallTime, read_wall

NEW_YEAR_NS = 1_767_225_600 * 1_000_000_000
"""2026-01-01 at midnight in UTC (POSIX seconds: 56 years, 14 leap days)."""


def test_a_day_begins_at_midnight_at_the_players_place() -> None:
    """A nanosecond before midnight in UTC is the old year there, and the new one an hour to the east."""
    before = NEW_YEAR_NS - 1
    assert WallTime(before, 0).day == "2025-12-31"
    assert WallTime(before, 3600).day == "2026-01-01"
    assert WallTime(NEW_YEAR_NS, -3600).day == "2025-12-31"


def test_now_is_what_the_system_says() -> None:
    """Between two readings of the same clock."""
    before = time.time_ns()
    now = read_wall()
    assert before <= now.ns <= time.time_ns()
    assert abs(now.utc_offset_s) <= 14 * 3600
