"""A recording of which nothing was known, into the history."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.assessing.listen import HeardTake, listen_to, tunes_at_hand
from chanterd.assessing.take_import import keep_all, to_keep
from chanterd.hearing.take import Take, read_take
from chanterd.history.free_runs import free_run_of, ornaments_of
from chanterd.history.queries import run_of
from chanterd.history.store import Store, open_store
from chanterd.history.tune_runs import tune_run_of
from chanterd.judging.standard import find_standard
from chanterd.music.heard import Onset
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.units import NS_PER_MS
from chanterd.tables import Tables, read_tables
from tests.history.practised_runs import noon, somebody
from tests.listening.played_notes import heard_notes
from tests.listening.test_tunes import notes
from tests.written_takes import write

DRILL = "B840 G60 d40 G60 c1000 " * 6
FREE = "A700 g35 c60 d35 c700 e500 f900 "
SILENCE = 4000


def written(path: Path, *stretches: str) -> Path:
    """Stretches of notes with rests between, as a file."""
    playing: list[tuple[float, str | None]] = []
    at = 0.0
    for stretch in stretches:
        onsets = [one for one in heard_notes(stretch) if isinstance(one, Onset)]
        first = onsets[0].at_ns
        playing += [(at + (one.at_ns - first) / NS_PER_MS, one.note.words) for one in onsets]
        at = playing[-1][0] + 900
        playing.append((at, None))
        at += SILENCE
    return write(path, playing)


def listened(path: Path, tables: Tables) -> tuple[Take, HeardTake]:
    """A file with what is in it."""
    take = read_take(path)
    return take, listen_to(take, tables.profiles, tables.book, tunes=tunes_at_hand(Shelf(path.parent)))


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


def test_every_kind_of_passage_becomes_a_run_in_order_of_time(store: Store, tables: Tables, tmp_path: Path) -> None:
    """A drill, a tune, free playing; each is dated by when it was played, and silence is not kept."""
    path = written(tmp_path / "lesson.mid", DRILL, notes("net-mender"), FREE)
    take, heard = listened(path, tables)
    ones = to_keep(take, heard, Shelf(tmp_path), find_standard("steady", tables.standards), tables)
    ended = noon()
    kept = list(keep_all(store, somebody(store), take, heard, ones, ended))
    assert [one.kind for one in kept] == ["drill", "tune", "free"]
    drill, tune, free = kept
    with store.reading() as connection:
        run, through, just = (
            run_of(connection, drill.run),
            tune_run_of(connection, tune.run),
            free_run_of(connection, free.run),
        )
        ornaments = ornaments_of(connection, free.run)
    assert run is not None
    assert (run.way.drill, run.clean) == ("grip from B to C", 6)
    assert through.title == "The Net Mender"
    assert (just.ornaments, just.why, just.input) == (1, "imported", "imported: lesson.mid")
    assert [one["drill"] for one in ornaments] == ["doubling from low A to C"]
    assert run.until_ns < through.began_ns < through.until_ns < just.began_ns < just.until_ns <= ended.ns


def test_notes_without_an_ornament_are_not_kept(tables: Tables, tmp_path: Path) -> None:
    """There is nothing to say of them."""
    take, heard = listened(written(tmp_path / "take.mid", "B700 c700 e700 A700"), tables)
    assert to_keep(take, heard, Shelf(tmp_path), find_standard("steady", tables.standards), tables) == []
