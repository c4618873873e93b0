"""The writer: it never makes anybody wait, never loses what it can keep, and says when it cannot write."""

import shutil
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from queue import Queue

import pytest
from sqlalchemy import func, select, text

from chanterd.history import writer as writing
from chanterd.history.players import delete_player, delete_run, player_of
from chanterd.history.queries import reps_of
from chanterd.history.record import RunEnded
from chanterd.history.schema import runs
from chanterd.history.store import Store, open_store
from chanterd.history.writer import Writer
from chanterd.judging.report import RepResult
from tests.history.kill_harness import look, moments, victims
from tests.history.practised_runs import GRIP, begun, closed, judged, somebody
from tests.postgres import PostgresServer

RESULTS = judged(GRIP, [4.0, 5.0, 6.0])


def kept(store: Store) -> list[RepResult]:
    """The reps of the only run."""
    with store.reading() as connection:
        return reps_of(connection, connection.scalars(select(runs.c.id)).one())


@pytest.fixture
def notices() -> "Queue[str | None]":
    """What the writer reported."""
    return Queue()


@pytest.fixture
def writer(store: Store, notices: "Queue[str | None]") -> Iterator[Writer]:
    """A writer that tries again at once."""
    one = Writer(store, notices.put, again_s=0.02)
    yield one
    one.close()


def test_what_is_put_is_written_in_its_order(store: Store, writer: Writer) -> None:
    """Reps, then the end."""
    run = begun(somebody(store))
    for result in RESULTS:
        writer.put(closed(run, [result]))
    writer.put(RunEnded(run, "stopped", b""))
    assert writer.settle()
    assert kept(store) == RESULTS
    with store.reading() as connection:
        assert connection.scalars(select(runs.c.why)).one() == "stopped"


def test_nobody_waits_while_the_database_is_busy(file_store: Callable[[], Store], notices: "Queue[str | None]") -> None:
    """While another holds the right to write, put returns; what was put is written when it lets go."""
    store = file_store()
    run = begun(somebody(store))
    one = Writer(store, notices.put)
    other = store.engine.raw_connection()
    raw = other.dbapi_connection
    assert raw is not None
    raw.cursor().execute("BEGIN IMMEDIATE")
    for result in RESULTS:
        one.put(closed(run, [result]))
    assert not one.settle(0.05)
    with store.reading() as connection:
        assert connection.scalar(select(func.count()).select_from(runs)) == 0
    raw.cursor().execute("COMMIT")
    other.close()
    assert one.settle()
    assert one.close() == 0
    assert kept(store) == RESULTS


def test_what_cannot_be_written_is_reported_and_kept_until_it_can_be(
    store: Store, writer: Writer, notices: "Queue[str | None]"
) -> None:
    """Once it is wrong, once it is well again; nothing is lost."""
    run = begun(somebody(store))
    with store.writing() as connection:
        connection.execute(text("ALTER TABLE reps RENAME TO hidden"))
    for result in RESULTS:
        writer.put(closed(run, [result]))
    said = notices.get(timeout=10)
    assert said is not None
    assert said.startswith("chanterd cannot write the history: ")
    assert "Practise on" in said
    with store.writing() as connection:
        connection.execute(text("ALTER TABLE hidden RENAME TO reps"))
    assert notices.get(timeout=10) is None
    assert writer.settle()
    assert notices.empty()
    assert kept(store) == RESULTS


def test_a_server_that_is_restarted_costs_nothing(
    postgres: PostgresServer, notices: "Queue[str | None]", tmp_path: Path
) -> None:
    """Connections that were cut are made again, and every rep is there once."""
    url = postgres.new_database()
    store = open_store(url, tmp_path)
    one = Writer(store, notices.put, again_s=0.02)
    run = begun(somebody(store))
    for result in RESULTS:
        one.put(closed(run, [result]))
        assert one.settle()
        postgres.cut_off(url)
    one.put(RunEnded(run, "stopped", b""))
    assert one.settle()
    assert kept(store) == RESULTS
    one.close()
    store.close()


def test_the_rest_of_a_run_that_was_deleted_is_not_kept_and_that_is_said(
    store: Store, writer: Writer, notices: "Queue[str | None]"
) -> None:
    """Whoever deletes a run wants it gone; the next run is written."""
    person = somebody(store)
    run = begun(person)
    writer.put(closed(run, RESULTS[:1]))
    assert writer.settle()
    with store.reading() as connection:
        number = connection.scalars(select(runs.c.id)).one()
    delete_run(store, number)
    writer.put(closed(run, RESULTS[1:2]))
    writer.put(closed(run, RESULTS[2:]))
    writer.put(closed(begun(person), RESULTS))
    assert writer.settle()
    assert notices.get(timeout=10) == writing.DELETED
    assert notices.get(timeout=10) is None
    assert kept(store) == RESULTS


@pytest.mark.parametrize("taken", [False, True])
def test_a_player_who_is_deleted_elsewhere_is_made_again_with_what_they_play(
    store: Store, writer: Writer, notices: "Queue[str | None]", *, taken: bool
) -> None:
    """It is said at once and up to the run's end; under their name, or the next one if that is somebody else's now."""
    person = somebody(store)
    run = begun(person)
    writer.put(closed(run, RESULTS[:1]))
    assert writer.settle()
    delete_player(store, person.number)
    if taken:
        somebody(store)
    for result in RESULTS[1:]:
        writer.put(closed(run, [result]))
    writer.put(RunEnded(run, "stopped", b""))
    assert writer.settle()
    said = notices.get(timeout=10)
    assert said is not None
    assert said.startswith("Ailsa was deleted elsewhere while playing")
    assert notices.empty()
    assert kept(store) == RESULTS[1:]
    with store.reading() as connection:
        assert player_of(connection, person.number).name == ("Ailsa 2" if taken else "Ailsa")
    writer.put(closed(begun(person), RESULTS))
    assert writer.settle()
    assert notices.get(timeout=10) is None


@pytest.mark.parametrize("what", ["file", "folder", "replaced"])
def test_a_file_that_is_deleted_under_the_writer_is_made_again(
    what: str, notices: "Queue[str | None]", tmp_path: Path
) -> None:
    """With the player, and the reps from then on; another reader finds them, and the file is the owner's only."""
    folder = tmp_path / "data"
    folder.mkdir()
    store = open_store(None, folder)
    one = Writer(store, notices.put, again_s=0.02)
    person = somebody(store)
    run = begun(person)
    one.put(closed(run, RESULTS[:1]))
    assert one.settle()
    if what == "folder":
        shutil.rmtree(folder)
    else:
        (folder / "history.db").unlink()
    if what == "replaced":
        shutil.copy2(other_history(tmp_path), folder / "history.db")
    for result in RESULTS[1:]:
        one.put(closed(run, [result]))
    assert one.settle()
    said = notices.get(timeout=10)
    assert said is not None
    assert "was deleted or replaced while chanterd ran" in said
    assert "Ailsa" in said
    one.close()
    store.close()
    again = open_store(None, folder)
    assert kept(again) == RESULTS[1:]
    again.close()
    assert (folder / "history.db").stat().st_mode & 0o077 == 0


def other_history(tmp_path: Path) -> Path:
    """A file with the tables and nobody in it."""
    (tmp_path / "other").mkdir()
    open_store(None, tmp_path / "other").close()
    return tmp_path / "other" / "history.db"


def test_closing_writes_what_waits_and_counts_what_it_cannot(store: Store, notices: "Queue[str | None]") -> None:
    """With the table away, two things are left; a thread that cannot go on ends all the same."""
    run = begun(somebody(store))
    with store.writing() as connection:
        connection.execute(text("ALTER TABLE reps RENAME TO hidden"))
    one = Writer(store, notices.put, again_s=0.02)
    one.put(closed(run, RESULTS[:1]))
    one.put(closed(run, RESULTS[1:]))
    assert notices.get(timeout=10) is not None
    assert one.close(patience_s=0.1) == 2
    with store.writing() as connection:
        connection.execute(text("ALTER TABLE hidden RENAME TO reps"))


def test_what_is_still_being_written_when_time_is_up_counts_as_left(
    store: Store, notices: "Queue[str | None]", monkeypatch: pytest.MonkeyPatch
) -> None:
    """A database that does not answer at all: neither the rep it has been given nor the next is said to be kept."""
    run, answers = begun(somebody(store)), threading.Event()
    one = Writer(store, notices.put, again_s=0.02)
    monkeypatch.setattr(one._ledger, "write", lambda _: answers.wait(10))
    one.put(closed(run, RESULTS[:1]))
    one.put(closed(run, RESULTS[1:]))
    assert one.close(patience_s=0.05) == 2
    answers.set()


def test_what_may_wait_is_bounded(store: Store, notices: "Queue[str | None]", monkeypatch: pytest.MonkeyPatch) -> None:
    """With no room left new reps are lost, and the writer says so."""
    monkeypatch.setattr(writing, "MOST_WAITING", 1)
    run = begun(somebody(store))
    with store.writing() as connection:
        connection.execute(text("ALTER TABLE reps RENAME TO hidden"))
    one = Writer(store, notices.put, again_s=0.02)
    one.put(closed(run, RESULTS[:1]))
    assert notices.get(timeout=10) is not None
    one.put(closed(run, RESULTS[1:2]))
    one.put(closed(run, RESULTS[2:]))
    assert notices.get(timeout=10) == writing.FULL
    one.close(patience_s=0.1)
    with store.writing() as connection:
        connection.execute(text("ALTER TABLE hidden RENAME TO reps"))


def test_kill_9_at_any_moment_loses_at_most_the_rep_under_way_on_sqlite(tmp_path: Path) -> None:
    """Forty kills into one file: every rep that was said to be written is there whole, and its part of the take."""
    url = f"sqlite:///{tmp_path / 'history.db'}"
    with victims() as those:
        for after_s in moments(40, 0.15, seed=1):
            notices = those.kill_one(url, after_s)
            store = open_store(url, tmp_path)
            look(store, notices)
            store.close()


def test_kill_9_at_any_moment_loses_at_most_the_rep_under_way_on_postgresql(
    postgres: PostgresServer, tmp_path: Path
) -> None:
    """Ten kills of the client."""
    url = postgres.new_database()
    store = open_store(url, tmp_path)
    with victims() as those:
        for after_s in moments(10, 0.15, seed=2):
            look(store, those.kill_one(url, after_s))
    store.close()
