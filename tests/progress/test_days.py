"""Days of practice with what was played beside drills."""

from chanterd.history.answers import DayPractised
from chanterd.progress.days import with_more


def test_further_runs_add_time_and_days_but_no_reps() -> None:
    """In the order of days."""
    drilled = DayPractised("2026-03-11", runs=2, played=8, clean=7, ways=1, minutes=3.0)
    assert with_more([drilled], [("2026-03-12", 1, 0.5), ("2026-03-11", 3, 1.25), ("2026-03-10", 1, 2.0)]) == [
        DayPractised("2026-03-10", 1, 0, 0, 0, 2.0),
        DayPractised("2026-03-11", 5, 8, 7, 1, 4.2),
        DayPractised("2026-03-12", 1, 0, 0, 0, 0.5),
    ]
