"""The seventh step: a history from before has no free playing yet, and takes some from then on."""

from pathlib import Path

from chanterd.history.free_runs import free_by_day, free_runs_of
from chanterd.history.ledger import Ledger
from chanterd.history.store import open_store
from tests.history.older_history import leave_history
from tests.history.test_free_runs import part, way


def test_a_history_from_before_is_brought_up_to_date(tmp_path: Path) -> None:
    """On SQLite: nobody had any."""
    leave_history(tmp_path, "0006")
    store = open_store(None, tmp_path)
    with store.reading() as connection:
        ailsa = connection.exec_driver_sql("SELECT id FROM players").scalar_one()
        assert free_runs_of(connection, ailsa) == []
    entry = part(store, "a" * 32, [way(3, 2)], why="rested")
    Ledger(store).write(entry)
    with store.reading() as connection:
        assert free_runs_of(connection, ailsa) == []
        assert [one.played for one in free_by_day(connection, entry.begun.player)] == [3]
    store.close()
