"""The sixth step: runs through tunes get takes and results, and those from before keep what they have."""

from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.history.store import open_store
from chanterd.history.tune_runs import result_of, tune_runs_of, tune_take_of
from tests.history.older_history import leave_history

OLD = (
    "INSERT INTO tune_runs (key, player_id, began_ns, day, tune, first, last, click_bpm, click_off, standard, "
    "ornaments, clean) SELECT 'a', id, 5, '2026-03-31', 'seven-gulls', 4, 9, 100.0, 0, 'steady', 5, 3 FROM players"
)


def test_a_history_from_before_is_brought_up_to_date(tmp_path: Path) -> None:
    """On SQLite: a run from before is listed with its figures, as over; it has no take, and says so."""
    leave_history(tmp_path, "0005", OLD, "INSERT INTO tune_ways SELECT id, 'birl from E', 2, 2 FROM tune_runs")
    store = open_store(None, tmp_path)
    with store.reading() as connection:
        number = connection.exec_driver_sql("SELECT id FROM players").scalar_one()
        [run] = tune_runs_of(connection, number)
        assert (run.title, run.ornaments, run.clean, run.why, run.until_ns) == ("seven-gulls", 5, 3, "stopped", 5)
        assert not run.heard
        assert result_of(connection, run.run) is None
        with pytest.raises(ChanterdError, match="has no take: an older chanterd kept none"):
            tune_take_of(connection, run.run)
        assert connection.exec_driver_sql("SELECT drill FROM tune_ways").scalar() == "birl from E"
    store.close()
