"""Writing runs: each thing told is one transaction, so that a rep is in the history whole, or not at all."""

from dataclasses import dataclass

from sqlalchemy import Connection, func, insert, select, update

from chanterd.history.figures import Figures, fault_rows, rep_row, step_rows
from chanterd.history.record import RepsClosed, RunBegun, RunEnded, Told, run_row
from chanterd.history.schema import faults, reps, runs, steps, takes
from chanterd.history.store import Store


@dataclass(slots=True)
class _Open:
    """A run that is being written."""

    run: int
    figures: Figures
    part: int
    """The number of the take's next part."""


class Ledger:
    """Writes what is told, in the order in which it is told; to be used by one thread."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._open: dict[str, _Open] = {}

    def write(self, told: Told) -> int:
        """Write it and return the number of the run. Telling the same again changes nothing.

        Raises sqlalchemy's DBAPIError; IntegrityError if the player or the run has been deleted meanwhile.
        """
        key = told.begun.key
        try:
            with self._store.engine.execution_options(writes=True).begin() as connection:
                run = self._open.get(key) or _find(connection, told.begun)
                if isinstance(told, RepsClosed):
                    _write_reps(connection, run, told)
                else:
                    _write_end(connection, run, told)
        except BaseException:
            self._open.pop(key, None)  # what is known of it may not be so: it is read again the next time
            raise
        self._open[key] = run
        if isinstance(told, RunEnded):
            del self._open[key]
        return run.run


def _find(connection: Connection, begun: RunBegun) -> _Open:
    """The run as it stands in the database, made there if it is not."""
    run = connection.scalar(select(runs.c.id).where(runs.c.key == begun.key))
    if run is None:
        row = {**run_row(begun), **Figures().as_row()}
        run = connection.execute(insert(runs).values(row).returning(runs.c.id)).scalar_one()
        return _Open(run, Figures(), 0)
    figures = Figures()
    figures.add(connection.scalars(select(reps.c.result).where(reps.c.run_id == run).order_by(reps.c.rep)))
    part = connection.scalar(select(func.coalesce(func.max(takes.c.part) + 1, 0)).where(takes.c.run_id == run))
    return _Open(run, figures, part or 0)


def _write_reps(connection: Connection, run: _Open, told: RepsClosed) -> None:
    if told.results[0]["rep"] < run.figures.reps:
        return  # committed, though we were not told so
    connection.execute(insert(reps), [rep_row(run.run, result) for result in told.results])
    for table, rows_of in ((steps, step_rows), (faults, fault_rows)):
        rows = [row for result in told.results for row in rows_of(run.run, result)]
        if rows:
            connection.execute(insert(table), rows)
    _write_part(connection, run, told.midi, whole=told.whole)
    run.figures.add(told.results)
    connection.execute(update(runs).where(runs.c.id == run.run).values(until_ns=told.wall.ns, **run.figures.as_row()))


def _write_end(connection: Connection, run: _Open, told: RunEnded) -> None:
    if connection.scalar(select(runs.c.why).where(runs.c.id == run.run)) is not None:
        return
    _write_part(connection, run, told.midi, whole=False)
    connection.execute(update(runs).where(runs.c.id == run.run).values(why=told.why))


def _write_part(connection: Connection, run: _Open, midi: bytes, *, whole: bool) -> None:
    if midi:
        connection.execute(insert(takes).values(run_id=run.run, part=run.part, whole=whole, midi=midi))
        run.part += 1
