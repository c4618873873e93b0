"""Writing runs through tunes: each entry is one transaction, and the same entry again changes nothing."""

from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from chanterd.history.run_rows import run_number
from chanterd.history.schema import tune_results, tune_runs, tune_takes, tune_ways
from chanterd.history.tune_record import (
    TuneEntry,
    TuneRunEnded,
    judged_columns,
    tune_row,
    ways_played,
)
from chanterd.practice.tune_run import TunePlayed

_R, _T = tune_runs.c, tune_takes.c


def write_tune_run(connection: Connection, entry: TuneEntry, *, restored: bool = False) -> int:
    """Write an entry and return the number of its run.

    Its row is made again if the player or the whole file had to be (``restored``). Raises RunDeletedError if
    somebody deleted the run alone meanwhile.
    """
    run = run_number(connection, tune_runs, tune_row(entry.begun), insert_it=restored or not entry.part)
    there = select(_T.part).where(_T.run_id == run, _T.part == entry.part)
    if entry.midi and connection.scalar(there) is None:  # else the confirmation was lost, and no more
        whole = isinstance(entry, TuneRunEnded) and entry.whole
        connection.execute(insert(tune_takes).values(run_id=run, part=entry.part, whole=whole, midi=entry.midi))
    row: dict[str, Any] = {"until_ns": entry.wall.ns}
    if isinstance(entry, TuneRunEnded):
        row["why"] = entry.why
        write_judged(connection, run, entry.played, entry.begun.judged_ns)
    connection.execute(update(tune_runs).where(_R.id == run).values(row))
    return run


def write_judged(connection: Connection, run: int, played: TunePlayed, judged_ns: int | None) -> None:
    """How a run went, in the place of whatever was written about that before; its take stays as it is."""
    for table in (tune_results, tune_ways):
        connection.execute(delete(table).where(table.c.run_id == run))
    connection.execute(insert(tune_results).values(run_id=run, result=played))
    ways = [
        {"run_id": run, "drill": way.drill, "played": way.played, "clean": way.clean}
        for way in ways_played(played["notes"])
    ]
    if ways:
        connection.execute(insert(tune_ways), ways)
    connection.execute(update(tune_runs).where(_R.id == run).values(judged_columns(played, judged_ns)))
