"""Writing free playing: each part is one transaction, and the same part again changes nothing."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from chanterd import __version__
from chanterd.history.free_record import FreePartPlayed, FreeWay, free_row, way_row
from chanterd.history.run_rows import run_number
from chanterd.history.schema import free_results, free_runs, free_takes, free_ways
from chanterd.listening.report import HeardOrnament

_R, _O = free_runs.c, free_results.c


def write_free_part(connection: Connection, entry: FreePartPlayed, *, restored: bool = False) -> int:
    """Write a part and return the number of its run.

    Its row is made again if the player or the whole file had to be (``restored``). Raises RunDeletedError if
    somebody deleted the run alone meanwhile.
    """
    run = run_number(connection, free_runs, free_row(entry.begun), insert_it=restored or not entry.part)
    there = select(_O.part).where(_O.run_id == run, _O.part == entry.part)
    if connection.scalar(there) is None:  # else the confirmation was lost, and no more
        # A silent part too, so that a missing one shows.
        take = {"run_id": run, "part": entry.part, "whole": entry.whole, "midi": entry.midi}
        connection.execute(insert(free_takes).values(take))
        connection.execute(insert(free_results).values(run_id=run, part=entry.part, result=list(entry.ornaments)))
        _write_ways(connection, run, entry.ways)
    row: dict[str, Any] = {"until_ns": entry.wall.ns}
    if entry.why is not None:
        row["why"] = entry.why
    connection.execute(update(free_runs).where(_R.id == run).values(row))
    return run


def replace_judged(
    connection: Connection, run: int, ornaments: Sequence[HeardOrnament], ways: Sequence[FreeWay], judged_ns: int
) -> None:
    """How a run went, in the place of what was written about that before; its take stays as it is."""
    connection.execute(delete(free_results).where(_O.run_id == run))
    connection.execute(insert(free_results).values(run_id=run, part=0, result=list(ornaments)))
    _write_ways(connection, run, ways)
    connection.execute(update(free_runs).where(_R.id == run).values(judge=__version__, judged_ns=judged_ns))


def _write_ways(connection: Connection, run: int, ways: Sequence[FreeWay]) -> None:
    connection.execute(delete(free_ways).where(free_ways.c.run_id == run))
    if ways:
        connection.execute(insert(free_ways), [way_row(run, way) for way in ways])
    counts = {
        "ornaments": sum(way.row["played"] for way in ways),
        "clean": sum(way.row["clean"] for way in ways),
    }
    connection.execute(update(free_runs).where(_R.id == run).values(counts))
