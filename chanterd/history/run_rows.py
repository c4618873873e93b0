"""What the rows of all runs share, whether of drills, through tunes or of free playing: each kind has its own table."""

from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, insert, select, tuple_

from chanterd.history.answers import ALWAYS, Span
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import NS_PER_MINUTE

MOST_LISTED = 500
"""Runs in a list at a time: our own choice."""
GOES_ON_NS = 60 * NS_PER_MINUTE
"""A run without an end is still going on if something of it was stored no longer ago: common sense, no source."""


class RunDeletedError(Exception):
    """The run was deleted while it was being played; its player still exists."""


def played_by(table: Table, player: int, span: Span = ALWAYS) -> list[ColumnElement[bool]]:
    """The conditions for the runs of a player in the span."""
    wanted = [table.c.player_id == player]
    if span.first is not None:
        wanted.append(table.c.day >= span.first)
    if span.last is not None:
        wanted.append(table.c.day <= span.last)
    return wanted


def older_than(table: Table, began_ns: int, run: int) -> ColumnElement[bool]:
    """The condition for what a list with the newest first shows after that run."""
    return tuple_(table.c.began_ns, table.c.id) < tuple_(began_ns, run)


def over(table: Table, now: WallTime) -> ColumnElement[bool]:
    """The condition for runs that do not go on any more: they have an end, or were cut off."""
    return table.c.why.is_not(None) | (table.c.until_ns < now.ns - GOES_ON_NS)


def run_number(connection: Connection, table: Table, row: dict[str, Any], *, insert_it: bool) -> int:
    """The number of the run with the key of ``row``, which is inserted if it is not there.

    Raises RunDeletedError if it is not there and is not to be inserted.
    """
    number: int | None = connection.scalar(select(table.c.id).where(table.c.key == row["key"]))
    if number is None:
        if not insert_it:
            raise RunDeletedError
        number = int(connection.execute(insert(table).values(row).returning(table.c.id)).scalar_one())
    return number
