"""Histories for the tests of this room, on both databases."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from chanterd.history.store import Store, open_store
from tests.postgres import PostgresServer


@pytest.fixture(scope="session")
def postgres() -> Iterator[PostgresServer]:
    """One server for the whole session."""
    with PostgresServer() as server:
        yield server


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """An empty place for a history, on either database, by the URL that ``--store`` takes."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'history.db'}"
        return
    server: PostgresServer = request.getfixturevalue("postgres")
    url = server.new_database()
    yield url
    server.drop(url)


@pytest.fixture
def store(url: str, tmp_path: Path) -> Iterator[Store]:
    """An open history with nothing in it, on either database."""
    opened = open_store(url, tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def file_store(tmp_path: Path) -> Iterator[Callable[[], Store]]:
    """Opens the history in ``tmp_path``, as often as it is called; on SQLite."""
    opened: list[Store] = []

    def open_it() -> Store:
        opened.append(open_store(None, tmp_path))
        return opened[-1]

    yield open_it
    for one in opened:
        one.close()
