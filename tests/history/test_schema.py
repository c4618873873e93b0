"""The tables: what belongs to a player or a run goes with it."""

import pytest
from sqlalchemy import func, select

from chanterd.history.players import delete_player, delete_run
from chanterd.history.schema import classes, faults, metadata, players, reps, runs, steps, takes
from chanterd.history.store import Store
from tests.history.practised_runs import practise, somebody


@pytest.mark.parametrize("by", ["player", "run"])
def test_nothing_is_left_of_a_player_or_a_run_that_is_deleted(store: Store, by: str) -> None:
    """The database itself sees to it, on either one."""
    person = somebody(store)
    run = practise(store, person, [4.0, 90.0])
    if by == "player":
        delete_player(store, person.number)
    else:
        delete_run(store, run)
    with store.reading() as connection:
        for table in (runs, reps, steps, faults, takes):
            assert connection.scalar(select(func.count()).select_from(table)) == 0, table.name
        assert connection.scalar(select(func.count()).select_from(players)) == (by == "run")


def test_every_table_belongs_to_a_player() -> None:
    """By the references from table to table: a new one that is not would outlive its player. A class names nobody."""
    for table in metadata.sorted_tables:
        reached = {table.name}
        for foreign in table.foreign_keys:
            reached.add(foreign.column.table.name)
            assert foreign.ondelete == "CASCADE"
        assert table in (players, classes) or len(reached) > 1
