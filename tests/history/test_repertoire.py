"""The tunes that a player works on."""

from datetime import date

import pytest

from chanterd.config import ChanterdError
from chanterd.history.players import delete_player
from chanterd.history.repertoire import MOST, WorkedOn, leave, work_on, worked_on
from chanterd.history.store import Store
from tests.history.practised_runs import somebody

DAY = date(2030, 5, 20)


def of(store: Store, player: int) -> list[WorkedOn]:
    """Theirs."""
    with store.reading() as connection:
        return worked_on(connection, player)


def test_a_tune_is_worked_on_with_or_without_a_day(store: Store) -> None:
    """Said again, the new day counts; each player has their own; left, it is gone."""
    ailsa, rory = somebody(store).number, somebody(store, "Rory").number
    work_on(store, ailsa, "net-mender", None)
    work_on(store, ailsa, "lamp", DAY)
    work_on(store, ailsa, "net-mender", DAY)
    assert of(store, ailsa) == [WorkedOn("lamp", DAY), WorkedOn("net-mender", DAY)]
    assert of(store, rory) == []
    leave(store, ailsa, "lamp")
    leave(store, ailsa, "never worked on")
    assert of(store, ailsa) == [WorkedOn("net-mender", DAY)]


def test_they_go_with_their_player(store: Store) -> None:
    """And nobody who is not there works on anything."""
    ailsa = somebody(store).number
    work_on(store, ailsa, "lamp", None)
    delete_player(store, ailsa)
    assert of(store, ailsa) == []
    with pytest.raises(ChanterdError, match="no player"):
        work_on(store, ailsa, "lamp", None)


def test_there_is_an_end_to_them(store: Store) -> None:
    """One sentence says so, and the last one can still be changed."""
    ailsa = somebody(store).number
    for number in range(MOST):
        work_on(store, ailsa, f"tune-{number}", None)
    with pytest.raises(ChanterdError, match="take one off first"):
        work_on(store, ailsa, "one more", None)
    work_on(store, ailsa, "tune-0", DAY)
