"""The tunes that a player works on, each perhaps with the day on which it is performed; deleted with the player.

Conventions: a tune goes by its key on the shelf of tunes; days are at the player's own place.
"""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, delete, func, insert, select

from chanterd.config import ChanterdError
from chanterd.history.players import player_of
from chanterd.history.schema import repertoire
from chanterd.history.store import Store

MOST = 100
"""Tunes of one player at a time: more than anybody works on."""

_C = repertoire.c


@dataclass(frozen=True, slots=True)
class WorkedOn:
    """One of the tunes."""

    tune: str
    performance: date | None


def work_on(store: Store, player: int, tune: str, performance: date | None) -> None:
    """Work on a tune, or change when it is performed. Raises ChanterdError if there is no such player, or too many."""
    with store.writing() as connection:
        player_of(connection, player)
        connection.execute(delete(repertoire).where(_C.player_id == player, _C.tune == tune))
        count = connection.execute(select(func.count()).where(_C.player_id == player)).scalar_one()
        if count >= MOST:
            raise ChanterdError(f"You work on {count} tunes already, and {MOST} is the most; take one off first.")
        day = None if performance is None else performance.isoformat()
        connection.execute(insert(repertoire).values(player_id=player, tune=tune, performance=day))


def leave(store: Store, player: int, tune: str) -> None:
    """Work on it no longer; nothing happens if the player does not."""
    with store.writing() as connection:
        connection.execute(delete(repertoire).where(_C.player_id == player, _C.tune == tune))


def worked_on(connection: Connection, player: int) -> list[WorkedOn]:
    """The tunes that the player works on, by name."""
    found = select(_C.tune, _C.performance).where(_C.player_id == player).order_by(_C.tune)
    return [WorkedOn(tune, None if day is None else date.fromisoformat(day)) for tune, day in connection.execute(found)]
