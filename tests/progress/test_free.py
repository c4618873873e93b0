"""Free playing over weeks."""

from sqlalchemy import insert

from chanterd.history.answers import ALWAYS, DayPractised, Span
from chanterd.history.free_record import free_row
from chanterd.history.ledger import Ledger
from chanterd.history.run_rows import MOST_LISTED
from chanterd.history.schema import free_runs
from chanterd.history.store import Store
from chanterd.music.units import NS_PER_MINUTE
from chanterd.progress.free import days_with_free, free_over_time
from tests.history.test_free_runs import part, way


def test_each_ornament_is_compared_with_itself_weeks_ago(store: Store) -> None:
    """By its way in; what went worst last is first, and what was played in a tune is the tune's."""
    ledger = Ledger(store)
    ledger.write(part(store, "a" * 32, [way(4, 1, 30.0), way(9, 0, in_tune=True)], why="rested"))
    ledger.write(part(store, "b" * 32, [way(4, 3, 50.0)], day=1, why="rested"))
    entry = part(store, "c" * 32, [way(10, 9, 60.0), way(2, 0, 70.0, "")], day=14, why="rested")
    ledger.write(entry)
    player = entry.begun.player
    with store.reading() as connection:
        unknown, grip = free_over_time(connection, player, ALWAYS)
        assert [one.drill for one in free_over_time(connection, player, Span("2026-03-20"))] == [
            "grip",
            "grip from B to C",
        ]
        days = days_with_free(connection, player, ALWAYS, [DayPractised("2026-03-11", 2, 8, 8, 1, 3.0)])
    assert (unknown.drill, unknown.played, unknown.weeks) == ("grip", 2, 1)
    assert (grip.drill, grip.days, grip.played, grip.clean, grip.weeks) == ("grip from B to C", 3, 18, 13, 2)
    assert (grip.first_played, grip.first_clean, grip.first_held_ms) == (8, 4, 40.0)
    assert (grip.last_played, grip.last_clean, grip.last_held_ms) == (10, 9, 60.0)
    assert [(one.day, one.runs, one.played, one.minutes) for one in days] == [
        ("2026-03-10", 1, 0, 0.2),
        ("2026-03-11", 3, 8, 3.2),
        ("2026-03-24", 1, 0, 0.2),
    ]


def test_no_run_of_a_long_span_is_left_out(store: Store) -> None:
    """A list holds fewer runs than a year of playing every day."""
    entry = part(store, "a" * 32, [way(4, 1)], why="rested")
    row = free_row(entry.begun) | {"until_ns": entry.begun.wall.ns + 2 * NS_PER_MINUTE}
    many = MOST_LISTED + 100
    with store.writing() as connection:
        connection.execute(insert(free_runs), [row | {"key": f"{number:032}"} for number in range(many)])
    with store.reading() as connection:
        (day,) = days_with_free(connection, entry.begun.player, ALWAYS, [])
    assert (day.runs, day.minutes) == (many, 2.0 * many)
