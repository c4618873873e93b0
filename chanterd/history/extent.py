"""What a player's history reaches over: since when, and heard by which inputs.

What a simulated player played must be called simulated, so the inputs matter.
"""

from sqlalchemy import Connection, func, select

from chanterd.history.answers import ALWAYS, Span
from chanterd.history.schema import runs

_C = runs.c


def first_day_of(connection: Connection, player: int) -> str | None:
    """The first day on which anything was played; None: nothing was yet."""
    day: str | None = connection.scalar(select(func.min(_C.day)).where(_C.player_id == player, _C.played > 0))
    return day


def inputs_of(connection: Connection, player: int, span: Span = ALWAYS) -> list[str]:
    """The names of the inputs, each once, in order."""
    found = (
        select(_C.input)
        .distinct()
        .where(_C.player_id == player)
        .where(*([] if span.first is None else [_C.day >= span.first]))
        .where(*([] if span.last is None else [_C.day <= span.last]))
        .order_by(_C.input)
    )
    return list(connection.scalars(found))
