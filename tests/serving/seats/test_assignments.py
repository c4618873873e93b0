"""Who sits where, remembered between runs."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.history.players import create, rename
from chanterd.history.store import Store, open_store
from chanterd.history.wall_clock import WallTime
from chanterd.serving.seats.assignments import Assignments

NOW = WallTime(1_000_000_000, 0)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """A history with nobody in it."""
    opened = open_store(None, tmp_path)
    yield opened
    opened.close()


def test_whoever_sat_there_last_sits_there_again(store: Store, tmp_path: Path) -> None:
    """By name."""
    ailsa = create(store, "Ailsa", NOW)
    Assignments(tmp_path).keep("2", ailsa)
    assert Assignments(tmp_path).player("2", store, NOW) == ailsa


def test_the_first_who_comes_has_a_name_that_can_be_changed(store: Store, tmp_path: Path) -> None:
    """Player 1 at the first seat, Player 2 at the second; the same one the next time."""
    assignments = Assignments(tmp_path)
    first, second = (assignments.player(seat, store, NOW) for seat in ("1", "2"))
    assert (first.name, second.name) == ("Player 1", "Player 2")
    assert assignments.player("1", store, NOW) == first
    assignments.keep("1", rename(store, first.number, "Ailsa"))
    assert Assignments(tmp_path).player("1", store, NOW).number == first.number


def test_a_forgotten_name_is_in_no_file(store: Store, tmp_path: Path) -> None:
    """Deleted means deleted here too; others stay."""
    assignments = Assignments(tmp_path)
    assignments.keep("1", create(store, "Zebulon", NOW))
    assignments.keep("2", create(store, "Rory", NOW))
    assignments.forget("Zebulon")
    assert json.loads((tmp_path / "seats.json").read_text()) == {"2": "Rory"}
    assignments.forget("nobody")


def test_a_damaged_file_is_replaced(store: Store, tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """It is named in the log and kept beside the new one."""
    (tmp_path / "seats.json").write_text("[")
    assert Assignments(tmp_path).player("1", store, NOW).name == "Player 1"
    assert "seats.json is now called seats.json.damaged" in caplog.text
    assert (tmp_path / "seats.json.damaged").read_text() == "["


@pytest.mark.parametrize("name", ["", "  ", "a\0b", "a" * 100_000, "a\u202eb"])
def test_a_name_that_no_player_can_have_is_no_refusal_to_start(store: Store, tmp_path: Path, name: str) -> None:
    """Somebody new sits there."""
    (tmp_path / "seats.json").write_text(json.dumps({"1": name}))
    assert Assignments(tmp_path).player("1", store, NOW).name == "Player 1"


def test_a_file_that_cannot_be_written_is_reported(store: Store, tmp_path: Path) -> None:
    """What was remembered stays."""
    assignments = Assignments(tmp_path)
    ailsa = create(store, "Ailsa", NOW)
    (tmp_path / "seats.json.part").mkdir()
    with pytest.raises(ChanterdError, match="who sits where will not be remembered"):
        assignments.keep("1", ailsa)
