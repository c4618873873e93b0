"""The fourth step: a history from before it gets the tables of classes, and keeps what is in it."""

from pathlib import Path

from chanterd.history.classes import classes_of
from chanterd.history.store import open_store
from tests.history.older_history import leave_history


def test_a_history_from_before_is_brought_up_to_date(tmp_path: Path) -> None:
    """On SQLite: its players are still there, and there has been no class."""
    leave_history(tmp_path, "0003")
    store = open_store(None, tmp_path)
    with store.reading() as connection:
        assert connection.exec_driver_sql("SELECT name FROM players").scalar() == "Ailsa"
        assert classes_of(connection) == []
    store.close()
