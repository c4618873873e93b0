"""Writing free playing: runs and players that are deleted meanwhile."""

import pytest

from chanterd.config import ChanterdError
from chanterd.history.free_ledger import replace_judged
from chanterd.history.free_runs import delete_free_run, free_by_day, free_run_of, ornaments_of
from chanterd.history.ledger import Ledger
from chanterd.history.players import all_players, delete_player
from chanterd.history.run_rows import RunDeletedError
from chanterd.history.store import Store
from tests.history.test_free_runs import HEARD, part, way


def test_a_run_or_a_player_is_deleted_for_good(store: Store) -> None:
    """A run that is deleted while it goes on stays deleted; a player who goes takes all of it along."""
    ledger = Ledger(store)
    first = part(store, "a" * 32, [way(2, 1)])
    number = ledger.write(first)
    delete_free_run(store, number)
    with pytest.raises(ChanterdError, match="may have been deleted"):
        delete_free_run(store, number)
    with pytest.raises(RunDeletedError):
        ledger.write(part(store, "a" * 32, [way(3, 2)], 1))
    ledger.write(part(store, "b" * 32, [way(2, 1)]))
    delete_player(store, first.begun.player)
    with store.reading() as connection:
        assert all_players(connection) == []
        assert free_by_day(connection, first.begun.player, with_tunes=True) == []


def test_what_is_judged_again_takes_the_place_of_all_parts(store: Store) -> None:
    """With its counts, and who judged it when."""
    ledger = Ledger(store)
    ledger.write(part(store, "a" * 32, [way(2, 1)]))
    number = ledger.write(part(store, "a" * 32, [way(4, 1)], 1, why="rested"))
    with store.writing() as connection:
        replace_judged(connection, number, [HEARD], [way(1, 1)], 77)
    with store.reading() as connection:
        assert ornaments_of(connection, number) == [HEARD]
        run = free_run_of(connection, number)
    assert (run.ornaments, run.clean, run.judged_ns, run.heard) == (1, 1, 77, True)
