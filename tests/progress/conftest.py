"""A history for the tests of this room, on SQLite: the queries themselves are tested on both databases elsewhere."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.history.players import Player
from chanterd.history.store import Store, open_store
from tests.history.practised_runs import somebody
from tests.progress.simulated_history import practise_days


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An open history with nothing in it."""
    opened = open_store(None, tmp_path)
    yield opened
    opened.close()


@pytest.fixture
def ailsa(store: Store) -> Player:
    """Somebody with 60 days of simulated practice, the last on 2026-03-31."""
    person = somebody(store)
    practise_days(store, person, 60)
    return person
