"""The command line, and a take for it."""

from pathlib import Path

import pytest

from chanterd.hearing.track import whole_take
from chanterd.history.ledger import Ledger
from chanterd.history.record import RepsClosed, RunEnded
from chanterd.history.store import open_store
from tests.command_runner import Commands
from tests.history.practised_runs import GRIP as GRIP_WORDS
from tests.history.practised_runs import begun, judged, played, practise, somebody
from tests.written_takes import GRIP, write

OFFS_MS = [4.0, 5.0, 90.0]


@pytest.fixture
def chanterd(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Commands:
    """The command line, with nothing in its data folder yet."""
    return Commands(capfd, monkeypatch, tmp_path / "data")


@pytest.fixture
def take(tmp_path: Path) -> Path:
    """A clean grip from B to C at 60."""
    return write(tmp_path / "take.mid", GRIP)


@pytest.fixture
def practised(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Commands:
    """The command line, with two players in its history: run 1 is Ailsa's and has a take, run 2 is Rory's."""
    folder = tmp_path / "chanterd"
    folder.mkdir()
    store = open_store(None, folder)
    run, ledger = begun(somebody(store)), Ledger(store)
    midi = whole_take(played(GRIP_WORDS, OFFS_MS), 60.0)
    ledger.write(RepsClosed(run, judged(GRIP_WORDS, OFFS_MS), run.wall, midi, whole=True))
    ledger.write(RunEnded(run, "stopped", b""))
    practise(store, somebody(store, "Rory"), [4.0], words="birl from E")
    store.close()
    return Commands(capfd, monkeypatch, tmp_path)
