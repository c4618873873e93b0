"""The fifth step: a history from before it gets the tables of runs through tunes, and keeps what is in it."""

from pathlib import Path

from chanterd.history.store import open_store
from chanterd.history.tune_runs import tune_runs_of
from tests.history.older_history import leave_history


def test_a_history_from_before_is_brought_up_to_date(tmp_path: Path) -> None:
    """On SQLite: its players are still there, and have played no tune yet."""
    leave_history(tmp_path, "0004")
    store = open_store(None, tmp_path)
    with store.reading() as connection:
        number = connection.exec_driver_sql("SELECT id FROM players").scalar_one()
        assert connection.exec_driver_sql("SELECT name FROM players").scalar() == "Ailsa"
        assert tune_runs_of(connection, number) == []
    store.close()
