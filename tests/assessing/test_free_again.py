"""Free playing judged from its take."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.assessing.free_again import free_judged, judge_free_again
from chanterd.assessing.take_import import keep_all, to_keep
from chanterd.config import ChanterdError
from chanterd.history.free_rejudged import StoredFreeRun, free_runs_to_judge
from chanterd.history.free_runs import free_by_day, free_run_of, ornaments_of
from chanterd.history.schema import free_results, free_runs
from chanterd.history.store import Store, open_store
from chanterd.judging.standard import find_standard
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.tables import Tables, read_tables
from tests.assessing.test_take_import import listened, written
from tests.history.practised_runs import noon, somebody
from tests.listening.played_notes import found_in


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A history with nobody in it."""
    opened = open_store(None, tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def tables(tmp_path: Path) -> Tables:
    """Those that ship."""
    return read_tables(tmp_path)


def kept(store: Store, tables: Tables, tmp_path: Path) -> int:
    """Two grips, one crushed, and a doubling: free playing."""
    take, heard = listened(written(tmp_path / "take.mid", "B700 G60 d30 G60 c700 B700 G60 d30 G10 c700 e500"), tables)
    ones = to_keep(take, heard, Shelf(tmp_path), find_standard("steady", tables.standards), tables)
    (one,) = keep_all(store, somebody(store), take, heard, ones, noon())
    assert one.kind == "free"
    return one.run


def test_a_take_is_judged_as_it_was(store: Store, tables: Tables, tmp_path: Path) -> None:
    """What was lost or damaged comes back; another standard changes what is clean."""
    run = kept(store, tables, tmp_path)
    with store.reading() as connection:
        before = ornaments_of(connection, run)
        (stored,) = free_runs_to_judge(connection, None, noon(1))
    assert not judge_free_again(store, stored, tables, noon(1))
    with store.reading() as connection:
        assert ornaments_of(connection, run) == before
        assert free_run_of(connection, run).judged_ns == noon(1).ns
    with store.writing() as connection:
        connection.execute(free_results.update().values(result=["damaged"]))
    assert judge_free_again(store, stored, tables, noon(2))
    with store.reading() as connection:
        assert ornaments_of(connection, run) == before


def test_a_standard_that_is_gone_leaves_it_as_it_is(store: Store, tables: Tables, tmp_path: Path) -> None:
    """And says so."""
    run = kept(store, tables, tmp_path)
    with store.writing() as connection:
        connection.execute(free_runs.update().values(standard="gone"))
    with store.reading() as connection:
        (stored,) = free_runs_to_judge(connection, None, noon(1))
    with pytest.raises(ChanterdError, match="gone"):
        judge_free_again(store, stored, tables, noon(1))
    with store.reading() as connection:
        assert free_run_of(connection, run).ornaments == 2


def test_what_was_played_in_a_tune_is_counted_there(store: Store, tables: Tables, tmp_path: Path) -> None:
    """By when the tune was followed."""
    run = kept(store, tables, tmp_path)
    with store.reading() as connection:
        (stored,) = free_runs_to_judge(connection, None, noon(1))
        player = connection.exec_driver_sql("SELECT id FROM players").scalar_one()
    in_tune = StoredFreeRun(run, stored.standard, stored.profile, ((1000.0, 9000.0),))
    assert (in_tune.in_tune(999.0), in_tune.in_tune(1000.0)) == (False, True)
    judge_free_again(store, in_tune, tables, noon(1))
    with store.reading() as connection:
        assert [one.played for one in free_by_day(connection, player)] == [1]
        assert [one.played for one in free_by_day(connection, player, with_tunes=True)] == [2]


def test_times_count_from_where_it_begins(tables: Tables) -> None:
    """A stretch of a longer recording is a take of its own."""
    found = found_in("B700 G60 d30 G60 c700")
    limits = find_standard("steady", tables.standards)
    early, late = (free_judged(found, limits, Ns(at * NS_PER_MS)).ornaments[0] for at in (0, 500))
    assert early["theme_ms"] - late["theme_ms"] == 500
