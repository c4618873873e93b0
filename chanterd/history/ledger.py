"""Writing runs: each event of a run is one transaction, so that a rep is in the history whole, or not at all.

Another program may delete the player, the run or the whole file meanwhile. The ledger then makes the player and the
file again, so that it loses nothing played from then on; it does not bring back a run that was deleted by itself.
"""

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Connection, func, insert, select, update

from chanterd.history.class_ledger import write_class
from chanterd.history.class_record import ClassEntry
from chanterd.history.figures import Figures, fault_rows, rep_row, step_rows
from chanterd.history.free_ledger import write_free_part
from chanterd.history.free_record import FreeBegun, FreePartPlayed
from chanterd.history.players import free_name
from chanterd.history.queries import reps_of
from chanterd.history.record import Entry, RepsClosed, RunBegun, RunEnded, run_row
from chanterd.history.run_rows import RunDeletedError
from chanterd.history.schema import faults, players, reps, runs, steps, takes
from chanterd.history.store import Store
from chanterd.history.tune_ledger import write_tune_run
from chanterd.history.tune_record import TuneBegun, TuneEntry, TunePartPlayed, TuneRunEnded

NEW_FILE = "{where} was deleted or replaced while chanterd ran. Your reps go into a new file from here on."
NEW_PLAYER = "{name} was deleted elsewhere while playing. Reps from here on are kept under '{kept}'."


@dataclass(slots=True)
class _Open:
    """A run that the ledger is writing."""

    run: int
    figures: Figures
    part: int
    """The number of the take's next part."""
    next_rep: int
    """The reps before this one are already written."""


class Ledger:
    """Writes events in the order it gets them. Only one thread may use it.

    It calls ``notice`` with a sentence about anything that was missing and had to be made again.
    """

    def __init__(
        self, store: Store, notice: Callable[[RunBegun | TuneBegun | FreeBegun, str], None] = lambda *_: None
    ) -> None:
        self._store = store
        self._notice = notice
        self._open: dict[str, _Open] = {}

    def write(self, entry: Entry | ClassEntry | TuneEntry | FreePartPlayed) -> int:
        """Write an entry and return the number of its run or class. Writing the same entry again changes nothing.

        Raises sqlalchemy's DBAPIError, ChanterdError if a new file is needed and cannot be made, and RunDeletedError.
        """
        if isinstance(entry, ClassEntry):
            self._store.renew()
            with self._store.engine.execution_options(writes=True).begin() as connection:
                return write_class(connection, entry)
        if isinstance(entry, TunePartPlayed | TuneRunEnded | FreePartPlayed):
            return self._write_other(entry)
        key = entry.begun.key
        goes_on = key in self._open
        missing = []
        if self._store.renew():
            self._open.clear()
            missing.append(NEW_FILE.format(where=self._store.said))
        try:
            with self._store.engine.execution_options(writes=True).begin() as connection:
                name = _restore_player(connection, entry.begun)
                if name is not None:
                    self._open.pop(key, None)
                    missing.append(NEW_PLAYER.format(name=entry.begun.name, kept=name))
                run = self._open.get(key) or _find(connection, entry.begun, first_part=1 if goes_on else 0)
                if key in self._open:
                    _check_run(connection, run.run)
                if isinstance(entry, RepsClosed):
                    _write_reps(connection, run, entry)
                else:
                    _write_end(connection, run, entry)
        except BaseException:
            self._open.pop(key, None)  # its figures may be wrong now, so the next entry reads them again
            raise
        self._open[key] = run
        if isinstance(entry, RunEnded):
            del self._open[key]
        if missing:
            self._notice(entry.begun, " ".join(missing))
        return run.run

    def _write_other(self, entry: TuneEntry | FreePartPlayed) -> int:
        """A run that is no drill's."""
        missing = [NEW_FILE.format(where=self._store.said)] if self._store.renew() else []
        with self._store.engine.execution_options(writes=True).begin() as connection:
            name = _restore_player(connection, entry.begun)
            if name is not None:
                missing.append(NEW_PLAYER.format(name=entry.begun.name, kept=name))
            if isinstance(entry, FreePartPlayed):
                number = write_free_part(connection, entry, restored=bool(missing))
            else:
                number = write_tune_run(connection, entry, restored=bool(missing))
        if missing:
            self._notice(entry.begun, " ".join(missing))
        return number


def _restore_player(connection: Connection, begun: RunBegun | TuneBegun | FreeBegun) -> str | None:
    """Make the player again if they were deleted, and return their new name; None if they were there."""
    if connection.scalar(select(players.c.id).where(players.c.id == begun.player)) is not None:
        return None
    name = free_name(connection, begun.name)
    row = {"id": begun.player, "name": name, "folded": name.casefold(), "began_ns": begun.wall.ns}
    connection.execute(insert(players).values(row))
    return name


def _check_run(connection: Connection, run: int) -> None:
    if connection.scalar(select(runs.c.id).where(runs.c.id == run)) is None:
        raise RunDeletedError


def _find(connection: Connection, begun: RunBegun, first_part: int) -> _Open:
    """The run in the database; it is inserted first if it is not there.

    Its take then goes on with ``first_part``: 1 if part 0 was deleted, so that a take without its beginning shows.
    """
    run = connection.scalar(select(runs.c.id).where(runs.c.key == begun.key))
    if run is None:
        row = {**run_row(begun), **Figures().as_row()}
        run = connection.execute(insert(runs).values(row).returning(runs.c.id)).scalar_one()
        return _Open(run, Figures(), first_part, 0)
    figures = Figures()
    figures.add(reps_of(connection, run))
    part = connection.scalar(select(func.coalesce(func.max(takes.c.part) + 1, 0)).where(takes.c.run_id == run))
    next_rep = connection.scalar(select(func.coalesce(func.max(reps.c.rep) + 1, 0)).where(reps.c.run_id == run))
    return _Open(run, figures, part or 0, next_rep or 0)


def _write_reps(connection: Connection, run: _Open, closed: RepsClosed) -> None:
    if closed.results[0]["rep"] < run.next_rep:
        return  # already committed, although the confirmation was lost
    connection.execute(insert(reps), [rep_row(run.run, result) for result in closed.results])
    for table, rows_of in ((steps, step_rows), (faults, fault_rows)):
        rows = [row for result in closed.results for row in rows_of(run.run, result)]
        if rows:
            connection.execute(insert(table), rows)
    _write_part(connection, run, closed.midi, whole=closed.whole)
    run.figures.add(closed.results)
    run.next_rep = closed.results[-1]["rep"] + 1
    connection.execute(update(runs).where(runs.c.id == run.run).values(until_ns=closed.wall.ns, **run.figures.as_row()))


def _write_end(connection: Connection, run: _Open, ended: RunEnded) -> None:
    if connection.scalar(select(runs.c.why).where(runs.c.id == run.run)) is not None:
        return
    _write_part(connection, run, ended.midi, whole=False)
    connection.execute(update(runs).where(runs.c.id == run.run).values(why=ended.why))


def _write_part(connection: Connection, run: _Open, midi: bytes, *, whole: bool) -> None:
    if midi:
        connection.execute(insert(takes).values(run_id=run.run, part=run.part, whole=whole, midi=midi))
        run.part += 1
