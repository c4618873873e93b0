"""How far back a player's history goes, and which inputs it was heard on.

The inputs matter because whatever the simulated player played must be labelled simulated.
"""

from sqlalchemy import Connection, func, select

from chanterd.history.answers import ALWAYS, Span
from chanterd.history.schema import runs

_C = runs.c


def first_day_of(connection: Connection, player: int) -> str | None:
    """The first day of practice; None if there is none yet."""
    day: str | None = connection.scalar(select(func.min(_C.day)).where(_C.player_id == player, _C.played > 0))
    return day


def inputs_of(connection: Connection, player: int, span: Span = ALWAYS) -> list[str]:
    """The names of the inputs, sorted, each once."""
    found = (
        select(_C.input)
        .distinct()
        .where(_C.player_id == player)
        .where(*([] if span.first is None else [_C.day >= span.first]))
        .where(*([] if span.last is None else [_C.day <= span.last]))
        .order_by(_C.input)
    )
    return list(connection.scalars(found))
