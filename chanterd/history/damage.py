"""Reading reps from a damaged history: it reads what it can, and names what it cannot."""

import logging
from collections.abc import Sequence
from contextlib import suppress
from functools import cache
from typing import TYPE_CHECKING

from sqlalchemy import Connection, select
from sqlalchemy.exc import DBAPIError

from chanterd.history.schema import reps, runs
from chanterd.judging.report import RepResult

if TYPE_CHECKING:
    from pydantic import TypeAdapter

LOG = logging.getLogger(__name__)


def read_reps(connection: Connection, run: int) -> tuple[list[RepResult], list[int]]:
    """The judged reps of a run that can be read, in order, and the numbers of those that are damaged, from 0."""
    found = select(reps.c.rep, reps.c.result).where(reps.c.run_id == run).order_by(reps.c.rep)
    try:
        rows = [(number, result) for number, result in connection.execute(found) if isinstance(number, int)]
    except DBAPIError:  # a page of the file is damaged: read each rep by itself, to lose as few as possible
        rows = [(number, _one_rep(connection, run, number)) for number in range(_rep_count(connection, run))]
    from pydantic import ValidationError  # noqa: PLC0415 - it loads slowly, and most commands need no reps

    readable, damaged = [], []
    for number, result in rows:
        try:
            readable.append(_shape().validate_python(result))
        except ValidationError:
            damaged.append(number)
    if damaged:
        LOG.warning("Run %d: %s", run, damage_said(damaged))
    return readable, damaged


def damage_said(damaged: Sequence[int]) -> str:
    """Which reps are left out, in a sentence for the player, who counts from 1."""
    which = ", ".join(str(number + 1) for number in damaged)
    reps_are = "Rep {} is" if len(damaged) == 1 else "Reps {} are"
    return f"{reps_are.format(which)} damaged in the history and left out."


@cache
def _shape() -> "TypeAdapter[RepResult]":
    from pydantic import TypeAdapter  # noqa: PLC0415 - as above

    return TypeAdapter(RepResult)


def _rep_count(connection: Connection, run: int) -> int:
    return connection.scalar(select(runs.c.reps).where(runs.c.id == run)) or 0


def _one_rep(connection: Connection, run: int, number: int) -> RepResult | None:
    found = select(reps.c.result).where(reps.c.run_id == run, reps.c.rep == number)
    with suppress(DBAPIError):
        return connection.scalar(found)
    return None
