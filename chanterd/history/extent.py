"""How far back a player's history goes, and which inputs it was heard on.

The inputs matter because whatever the simulated player played must be labelled simulated.
"""

from sqlalchemy import Connection, Table, func, select

from chanterd.history.answers import ALWAYS, Span
from chanterd.history.run_rows import played_by
from chanterd.history.schema import free_runs, runs, tune_runs


def first_day_of(connection: Connection, player: int) -> str | None:
    """The first day of practice, of whatever kind; None if there is none yet."""
    drilled = select(func.min(runs.c.day)).where(runs.c.player_id == player, runs.c.played > 0)
    in_tunes = select(func.min(tune_runs.c.day)).where(tune_runs.c.player_id == player, tune_runs.c.ornaments > 0)
    freely = select(func.min(free_runs.c.day)).where(free_runs.c.player_id == player)
    days = [connection.scalar(one) for one in (drilled, in_tunes, freely)]
    return min((day for day in days if day is not None), default=None)


def inputs_of(connection: Connection, player: int, span: Span = ALWAYS) -> list[str]:
    """The names of the inputs, sorted, each once."""
    tables = (runs, tune_runs, free_runs)
    return sorted({name for table in tables for name in _inputs(connection, table, player, span)})


def _inputs(connection: Connection, table: Table, player: int, span: Span) -> list[str]:
    return list(connection.scalars(select(table.c.input).distinct().where(*played_by(table, player, span))))
