"""Writing classes, on both databases."""

from pathlib import Path

from chanterd.history.class_record import ClassEnded, ClassEntry
from chanterd.history.classes import attended, band_of, class_of, classes_of, delete_class
from chanterd.history.ledger import Ledger
from chanterd.history.store import Store
from tests.history.class_entries import BEGAN, band_rep, begun, run_begun


def test_the_same_entry_again_changes_nothing(store: Store, tmp_path: Path) -> None:
    """A confirmation that was lost on the way costs no rep and doubles none."""
    ledger, klass = Ledger(store), begun(tmp_path)
    entries: list[ClassEntry] = [
        band_rep(klass, 0),
        run_begun(klass),
        band_rep(klass, 1, 30.0),
        ClassEnded(klass, BEGAN),
    ]
    for entry in [one for one in entries for _ in range(2)]:
        ledger.write(entry)
    with store.reading() as connection:
        [seen] = classes_of(connection)
        assert seen.over
        assert [rep.spread_ms for rep in band_of(connection, seen.number)] == [20.0, 30.0]
        assert attended(connection, seen.number) == []  # the run itself was never written


def test_a_class_that_is_deleted_while_it_plays_goes_on(store: Store, tmp_path: Path) -> None:
    """Under a new number, with the reps from then on."""
    ledger, klass = Ledger(store), begun(tmp_path)
    first = ledger.write(band_rep(klass, 0))
    delete_class(store, first)
    second = ledger.write(band_rep(klass, 1))
    with store.reading() as connection:
        assert [rep.number for rep in band_of(connection, second)] == [1]
        assert class_of(connection, second).minutes > 0
