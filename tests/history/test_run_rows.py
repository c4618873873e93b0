"""What the rows of all runs share, for each kind of run."""

from dataclasses import replace

import pytest
from sqlalchemy import Table, select

from chanterd.history.answers import Span
from chanterd.history.free_record import FreeBegun, free_row
from chanterd.history.ledger import Ledger
from chanterd.history.run_rows import GOES_ON_NS, RunDeletedError, older_than, over, played_by, run_number
from chanterd.history.schema import free_runs, runs, tune_runs
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from tests.history.played_tunes import play_tune
from tests.history.practised_runs import practise, somebody
from tests.history.test_free_runs import part, way

KINDS = (runs, tune_runs, free_runs)


def one_of_each(store: Store) -> None:
    """A drill, a tune and free playing."""
    ada = somebody(store, "Ada")
    practise(store, ada, [4.0])
    play_tune(store, ada)
    Ledger(store).write(part(store, "a" * 32, [way(3, 2)]))


@pytest.mark.parametrize("table", KINDS, ids=str)
def test_a_span_includes_both_its_ends(store: Store, table: Table) -> None:
    """And holds only what the player played."""
    one_of_each(store)
    with store.reading() as connection:
        player, day = connection.execute(select(table.c.player_id, table.c.day)).one()
        for span, found in (
            (Span(day, day), 1),
            (Span(), 1),
            (Span(last="2000-01-01"), 0),
            (Span(first="2100-01-01"), 0),
        ):
            assert len(connection.execute(select(table.c.id).where(*played_by(table, player, span))).all()) == found
        assert not connection.execute(select(table.c.id).where(*played_by(table, player + 1))).all()


def test_of_runs_that_began_at_once_the_one_with_the_smaller_number_is_older(store: Store) -> None:
    """So a list in pages leaves none out."""
    for key in "abc":
        Ledger(store).write(part(store, key * 32, [way(3, 2)]))
    with store.reading() as connection:
        (began_ns,) = set(connection.scalars(select(free_runs.c.began_ns)))
        first, second, third = connection.scalars(select(free_runs.c.id).order_by(free_runs.c.id))
        older = select(free_runs.c.id).where(older_than(free_runs, began_ns, third)).order_by(free_runs.c.id)
        assert list(connection.scalars(older)) == [first, second]


def test_a_run_without_an_end_is_over_an_hour_after_its_last_part(store: Store) -> None:
    """It was cut off."""
    Ledger(store).write(part(store, "a" * 32, [way(3, 2)]))
    with store.reading() as connection:
        until_ns = connection.scalars(select(free_runs.c.until_ns)).one()
        for later_ns, found in ((GOES_ON_NS, 0), (GOES_ON_NS + 1, 1)):
            is_over = over(free_runs, WallTime(until_ns + later_ns, 0))
            assert len(connection.execute(select(free_runs.c.id).where(is_over)).all()) == found


def test_a_run_that_is_not_there_is_inserted_only_if_it_may_be(store: Store) -> None:
    """One that was deleted stays so."""
    entry = part(store, "a" * 32, [way(3, 2)])
    begun: FreeBegun = replace(entry.begun, key="b" * 32)
    with store.writing() as connection:
        with pytest.raises(RunDeletedError):
            run_number(connection, free_runs, free_row(begun), insert_it=False)
        number = run_number(connection, free_runs, free_row(begun), insert_it=True)
        assert run_number(connection, free_runs, free_row(begun), insert_it=False) == number
