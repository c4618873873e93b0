"""Free playing in the report."""

from chanterd.history.answers import ALWAYS
from chanterd.history.ledger import Ledger
from chanterd.history.players import find_or_create
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import read_standards
from chanterd.progress.free import FreeOrnament
from chanterd.progress.free_section import DASH, HEADING, MOST_ORNAMENTS, free_section
from chanterd.progress.report import report_of
from tests.history.test_free_runs import part, way


def test_the_report_compares_what_was_just_played_with_weeks_ago(store: Store) -> None:
    """For a player who chooses nothing, too: the days count, and each ornament is there, then and now."""
    ledger = Ledger(store)
    ledger.write(part(store, "a" * 32, [way(8, 4, 40.0)], why="rested"))
    entry = part(store, "c" * 32, [way(10, 9, 60.0), way(2, 0, 70.0, "")], day=14, why="rested")
    ledger.write(entry)
    player = find_or_create(store, entry.begun.name, WallTime(0, 0))
    with store.reading() as connection:
        report = report_of(connection, player, ALWAYS, read_standards(), 3)
    (practised,) = report.sections[0].said
    assert practised.startswith("2 of 15 days")
    assert "rep" not in practised
    (section,) = [one for one in report.sections if one.heading == HEADING]
    assert section.table is not None
    assert section.table.rows == (
        ("grip", DASH, "0 of 2 clean", DASH, "70 ms"),
        ("grip from B to C", "4 of 8 clean", "9 of 10 clean", "40 ms", "60 ms"),
    )


def test_a_long_table_ends_and_says_so() -> None:
    """With what went worst."""
    many = [FreeOrnament(f"number {n}", 1, 1, 0, 1, 0, None, 1, 0, None, 1) for n in range(MOST_ORNAMENTS + 2)]
    section = free_section(many)
    assert section.table is not None
    assert [row[0] for row in section.table.rows] == [f"number {n}" for n in range(MOST_ORNAMENTS)]
    assert section.said[-1] == "And 2 others."
