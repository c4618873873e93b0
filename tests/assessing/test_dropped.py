"""A recording that a page sends: looked at, then kept."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from chanterd.assessing import dropped as dropped_module
from chanterd.assessing.dropped import Dropped, Recordings
from chanterd.assessing.listen import HeardTake, listen_to
from chanterd.config import ChanterdError
from chanterd.history.players import find_or_create
from chanterd.history.store import open_store
from chanterd.history.wall_clock import WallTime
from chanterd.tables import read_tables
from tests.written_takes import write

GRIP = ((0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C"))


def grips(folder: Path, reps: int = 5) -> Dropped:
    """A recording of a grip, over and over."""
    playing: list[tuple[float, str | None]] = [(2000.0 * rep + at, note) for rep in range(reps) for at, note in GRIP]
    path = write(folder / "take.mid", [*playing, (2000.0 * reps, None)])
    tables = read_tables(folder)
    return Dropped("take.mid", path.read_bytes(), tables.standards["steady"], tables, folder)


def test_it_is_read_once_though_it_is_looked_at_and_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading takes longest; another recording, or another name for it, is read."""
    read: list[str] = []

    def counting(take: object, *more: object, **others: object) -> HeardTake:
        read.append(take.name)  # type: ignore[attr-defined]
        return listen_to(take, *more, **others)  # type: ignore[arg-type]

    monkeypatch.setattr(dropped_module, "listen_to", counting)
    recordings, dropped, store = Recordings(), grips(tmp_path), open_store(None, tmp_path)
    player = find_or_create(store, "A player", WallTime(10**18, 0))
    assert len(json.loads(recordings.listened(dropped))["ornaments"]) == 5
    kept = recordings.kept(dropped, store.url, player, WallTime(10**18, 0))
    assert [(one.kind, one.run) for one in kept] == [("drill", 1)]
    assert read == ["take.mid"]
    recordings.listened(replace(dropped, name="other.mid"))
    assert read == ["take.mid", "other.mid"]
    store.close()


def test_one_without_ornaments_is_not_kept(tmp_path: Path) -> None:
    """In a sentence that names it."""
    path = write(tmp_path / "plain.mid", [(0.0, "B"), (1000.0, "C"), (2000.0, None)])
    dropped = replace(grips(tmp_path), name="plain.mid", midi=path.read_bytes())
    with pytest.raises(ChanterdError, match=r"^There is no ornament in 'plain\.mid'"):
        Recordings().judged(dropped)
