"""Players by name; and deleted means deleted."""

from collections.abc import Callable
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.history import players
from chanterd.history.players import (
    LONGEST,
    all_players,
    create,
    delete_player,
    delete_run,
    find_or_create,
    find_player,
    player_of,
    rename,
)
from chanterd.history.queries import reps_of, runs_of
from chanterd.history.store import Store
from tests.history.practised_runs import noon, practise, somebody


def test_everybody_is_listed_by_name_with_what_is_kept_of_them(store: Store) -> None:
    """Whatever the capitals."""
    rory, ailsa = somebody(store, "rory"), somebody(store, "Ailsa")
    practise(store, rory, [4.0])
    practise(store, rory, [4.0], wall=noon(2))
    with store.reading() as connection:
        first, second = all_players(connection)
    assert (first.number, first.name, first.runs, first.last_day) == (ailsa.number, "Ailsa", 0, None)
    assert (second.name, second.runs, second.last_day) == ("rory", 2, "2026-04-02")


@pytest.mark.parametrize("name", ["Ailsa", "AILSA", "  ailsa "])
def test_a_name_is_taken_whatever_its_capitals(store: Store, name: str) -> None:
    """Nobody could see which is which."""
    ailsa = somebody(store)
    with pytest.raises(ChanterdError, match="already; choose that player, or another name"):
        create(store, name, noon())
    assert find_or_create(store, name, noon()) == ailsa
    with store.reading() as connection:
        assert find_player(connection, name) == ailsa
        assert len(all_players(connection)) == 1


@pytest.mark.parametrize("name", ["", "   ", "x" * (LONGEST + 1), "a\x00b", "a\u200bb"])
def test_what_is_no_name_is_refused(store: Store, name: str) -> None:
    """The sentence says what it must be."""
    with pytest.raises(ChanterdError, match=f"1 to {LONGEST} letters, all printable"):
        create(store, name, noon())


@pytest.mark.parametrize("name", ["Ailsa", "O'Neil; DROP TABLE players", "Mórag", "風笛", "=1+1"])
def test_any_printable_name_comes_back_as_it_was(store: Store, name: str) -> None:
    """It is data, whatever it looks like."""
    number = create(store, name, noon()).number
    with store.reading() as connection:
        assert player_of(connection, number).name == name


def test_a_player_may_be_called_otherwise(store: Store) -> None:
    """The runs stay theirs; a name that is taken stays with whom it belongs to."""
    person, other = somebody(store), somebody(store, "Rory")
    practise(store, person, [4.0])
    renamed = rename(store, person.number, "Isla")
    assert (renamed.number, renamed.name) == (person.number, "Isla")
    assert rename(store, person.number, "ISLA").name == "ISLA"
    with pytest.raises(ChanterdError, match="already"):
        rename(store, other.number, "isla")
    with store.reading() as connection:
        assert len(runs_of(connection, person.number)) == 1
    with pytest.raises(ChanterdError, match="There is no player number 99"):
        rename(store, 99, "Nobody")


def test_a_name_that_is_nearly_right_is_guessed_at(store: Store) -> None:
    """With nobody there, that is said."""
    with store.reading() as connection, pytest.raises(ChanterdError, match="Nobody has played yet"):
        find_player(connection, "Alisa")
    somebody(store)
    with store.reading() as connection, pytest.raises(ChanterdError, match="Did you mean 'Ailsa'"):
        find_player(connection, "Alisa")


def test_deleting_one_leaves_the_others_alone(store: Store) -> None:
    """Their runs and reps are as they were; the number of the one who is gone is not given again."""
    person, other = somebody(store), somebody(store, "Rory")
    practise(store, person, [4.0])
    kept = practise(store, other, [5.0])
    delete_player(store, person.number)
    with store.reading() as connection:
        assert [one.name for one in all_players(connection)] == ["Rory"]
        assert len(reps_of(connection, kept)) == 1
    assert somebody(store, "Isla").number > other.number
    with pytest.raises(ChanterdError, match="There is no player number"):
        delete_player(store, person.number)
    with pytest.raises(ChanterdError, match="There is no run 99"):
        delete_run(store, 99)


def test_nothing_of_who_was_deleted_is_left_in_the_files(file_store: Callable[[], Store], tmp_path: Path) -> None:
    """Neither the name nor any word of their runs is in a byte of the database or its log; others' words do."""
    store = file_store()
    person, other = somebody(store, "Zebulon Quince"), somebody(store, "Rory Stays")
    for day in range(3):
        practise(store, person, [4.0, 90.0] * 20, words="taorluath from E to low A", wall=noon(day))
        practise(store, other, [4.0] * 5, wall=noon(day))
    assert found(tmp_path, "Zebulon Quince")
    assert found(tmp_path, "taorluath from E")
    delete_player(store, person.number)
    assert not found(tmp_path, "Zebulon Quince")
    assert not found(tmp_path, "zebulon quince")
    assert not found(tmp_path, "taorluath from E")
    assert found(tmp_path, "Rory Stays")
    assert found(tmp_path, "grip from B to C")


def test_traces_that_a_reader_keeps_are_reported(
    file_store: Callable[[], Store], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """An export that goes on all the while, from another program: gone they are when both have let go."""
    monkeypatch.setattr("chanterd.history.store.BUSY_S", 0.05)
    store, other = file_store(), file_store()
    person = somebody(store, "Zebulon Quince")
    practise(store, person, [4.0])
    with other.reading() as connection:
        assert [one.name for one in all_players(connection)] == ["Zebulon Quince"]
        delete_player(store, person.number)
        assert found(tmp_path, "Zebulon Quince")
    assert [record.getMessage() for record in caplog.records] == [players.TRACES % (tmp_path / "history.db")]
    store.close()
    other.close()
    assert not found(tmp_path, "Zebulon Quince")


def found(folder: Path, words: str) -> bool:
    """Whether any file in the folder holds the words."""
    return any(words.encode() in path.read_bytes() for path in folder.iterdir() if path.is_file())
