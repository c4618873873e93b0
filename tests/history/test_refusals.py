"""What is refused: until its last day, and never longer than its player."""

from datetime import date, timedelta

import pytest

from chanterd.config import ChanterdError
from chanterd.history.answers import Way
from chanterd.history.players import delete_player
from chanterd.history.refusals import forgive, refuse, refused
from chanterd.history.store import Store
from tests.history.practised_runs import somebody

TODAY = date(2030, 5, 8)
GRIP, BIRL = Way("grip", "B", "C"), Way("birl", "E", "low A")


def left(store: Store, player: int, ago: int = 0) -> list[Way]:
    """What is refused that many days after today."""
    with store.reading() as connection:
        return refused(connection, player, TODAY + timedelta(ago))


def test_a_refusal_holds_to_its_last_day(store: Store) -> None:
    """Of today: today only; refused again, the new day counts."""
    person = somebody(store)
    refuse(store, person.number, GRIP, TODAY)
    refuse(store, person.number, BIRL, TODAY + timedelta(6))
    assert left(store, person.number) == [BIRL, GRIP]
    assert left(store, person.number, 1) == [BIRL]
    assert left(store, person.number, 7) == []
    refuse(store, person.number, GRIP, TODAY + timedelta(6))
    assert left(store, person.number, 1) == [BIRL, GRIP]


def test_it_is_each_players_own_and_can_be_taken_back(store: Store) -> None:
    """Another player is proposed it; after taking back so is this one; and a deleted player leaves none behind."""
    ailsa, rory = somebody(store), somebody(store, "Rory")
    for person in (ailsa, rory):
        refuse(store, person.number, GRIP, TODAY)
    forgive(store, ailsa.number)
    assert left(store, ailsa.number) == []
    assert left(store, rory.number) == [GRIP]
    delete_player(store, rory.number)
    assert left(store, rory.number) == []


def test_nobody_cannot_refuse(store: Store) -> None:
    """The error is a sentence."""
    with pytest.raises(ChanterdError, match="There is no player number 9"):
        refuse(store, 9, GRIP, TODAY)
