"""The ways that a player does not want in the proposal for a while; they are deleted with the player.

Conventions: days are at the player's own place; ``until`` is the last day of the refusal.
"""

from datetime import date

from sqlalchemy import Connection, delete, insert, select

from chanterd.history.answers import Way
from chanterd.history.players import player_of
from chanterd.history.schema import refusals
from chanterd.history.store import Store

_C = refusals.c


def refuse(store: Store, player: int, way: Way, until: date) -> None:
    """Refuse this way up to that day. Raises ChanterdError if there is no such player."""
    place = {"player_id": player, "ornament": way.ornament, "lead": way.lead, "theme": way.theme}
    with store.writing() as connection:
        player_of(connection, player)
        same = [_C[name] == value for name, value in place.items()]
        connection.execute(delete(refusals).where(*same))
        connection.execute(insert(refusals).values(**place, until=until.isoformat()))


def refused(connection: Connection, player: int, today: date) -> list[Way]:
    """The ways that the player refuses today."""
    found = select(_C.ornament, _C.lead, _C.theme).where(_C.player_id == player, _C.until >= today.isoformat())
    return [Way(*row) for row in connection.execute(found.order_by(_C.ornament, _C.lead, _C.theme))]


def forgive(store: Store, player: int) -> None:
    """Take back all refusals."""
    with store.writing() as connection:
        connection.execute(delete(refusals).where(_C.player_id == player))
