"""Questions about past classes, on both databases."""

from dataclasses import replace
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.history.classes import attended, band_of, class_of, classes_of, delete_class
from chanterd.history.ledger import Ledger
from chanterd.history.players import delete_player
from chanterd.history.store import Store
from tests.history.class_entries import BEGAN, band_rep, begun, run_begun
from tests.history.practised_runs import begun as run_of
from tests.history.practised_runs import closed, judged, somebody


def test_classes_are_listed_newest_first(store: Store, tmp_path: Path) -> None:
    """With their day, tempo, and how long they took."""
    ledger = Ledger(store)
    later = replace(begun(tmp_path, "c" * 32), wall=replace(BEGAN, ns=BEGAN.ns + 10**12))
    for klass in (begun(tmp_path), later):
        ledger.write(band_rep(klass, 29))
    with store.reading() as connection:
        assert [one.key[0] for one in classes_of(connection)] == ["c", "a"]
        oldest = classes_of(connection)[1]
        assert (oldest.day, oldest.minutes, oldest.click_bpm, oldest.over) == ("2026-09-21", 1.0, 60.0, False)
        assert len(classes_of(connection, 1)) == 1
        with pytest.raises(ChanterdError, match="There is no class number 99"):
            class_of(connection, 99)


def test_a_deleted_player_leaves_no_name_in_a_class(store: Store, tmp_path: Path) -> None:
    """Their runs go with them; the band's figures, which name nobody, stay. A deleted class leaves the others' runs."""
    ledger, klass = Ledger(store), begun(tmp_path)
    number = 0
    for seat, name in (("2", "Bram"), ("10", "Ailsa")):
        run = run_of(somebody(store, name))
        number = ledger.write(run_begun(klass, run.key, seat))
        ledger.write(closed(run, judged("grip from B to C", [0.0])))
    ledger.write(band_rep(klass, 0))
    with store.reading() as connection:
        runs = attended(connection, number)
        assert [(one.seat, one.name, one.click_bpm) for one in runs] == [("2", "Bram", 60.0), ("10", "Ailsa", 60.0)]
    delete_player(store, runs[0].player)
    with store.reading() as connection:
        assert [one.name for one in attended(connection, number)] == ["Ailsa"]
        assert len(band_of(connection, number)) == 1
    delete_class(store, number)
    with store.reading() as connection:
        assert classes_of(connection) == []
        assert connection.exec_driver_sql("SELECT count(*) FROM runs").scalar() == 1
        assert connection.exec_driver_sql("SELECT count(*) FROM class_runs").scalar() == 0
