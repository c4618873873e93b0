"""The writer: a thread that does all writing of runs, so that no note ever waits for a disk or a server.

If it cannot write, it keeps the entries and tries again until it can. It reports that once, and again when all is well.
Other ways, and why not: writing in the event loop (one fsync takes as long as a gracenote), or a thread for each write
(reps would overtake each other).
"""

import logging
import threading
import time
from collections.abc import Callable
from contextlib import suppress
from queue import Empty, SimpleQueue

from sqlalchemy.exc import DBAPIError

from chanterd.config import ChanterdError
from chanterd.history.class_record import ClassEntry
from chanterd.history.free_record import FreeBegun, FreePartPlayed
from chanterd.history.ledger import Ledger
from chanterd.history.record import Entry, RunBegun
from chanterd.history.run_rows import RunDeletedError
from chanterd.history.store import Store, reason
from chanterd.history.tune_record import TuneBegun, TuneEntry

LOG = logging.getLogger(__name__)

Written = Entry | ClassEntry | TuneEntry | FreePartPlayed

AGAIN_S = 5.0
"""How long to wait after a failure before trying again."""
LAST_S = 1.0
"""How much longer the entry being written may take when time is up; cut off, it would leave its connection open."""
MOST_WAITING = 20_000
"""Entries that may wait: ten hours of one player's reps, some 60 MB. Further ones are lost, and the writer says so."""

CANNOT = "chanterd cannot write the history: {why}. Practise on: your reps wait in memory, and chanterd tries again."
DELETED = "This run was deleted, so its further reps are not kept. Those of the next run are."
FULL = "chanterd has been unable to write the history for too long: reps from here on are lost."
WELL = None
"""Reported when writing works again."""
ReportTrouble = Callable[[str | None], None]


class Writer:
    """Takes entries at once and writes them as soon as it can. It calls ``report`` on its own thread."""

    def __init__(self, store: Store, report: ReportTrouble, again_s: float = AGAIN_S) -> None:
        self._ledger = Ledger(store, self._report_missing)
        self._missed_in = ""  # the key of the last run in which something had to be made again
        self._report = report
        self._again_s = again_s
        self._queue: SimpleQueue[Written | threading.Event] = SimpleQueue()
        self._held: Written | threading.Event | None = None  # taken out of the queue and not written yet
        self._gone: set[str] = set()
        self._said: str | None = WELL
        self._closing = threading.Event()
        self._deadline = 0.0
        self._thread = threading.Thread(target=self._run, name="history", daemon=True)
        self._thread.start()

    def put(self, entry: Written) -> None:
        """Queue an entry to be written; returns at once."""
        if self._queue.qsize() >= MOST_WAITING:
            self._say(FULL)
            return
        self._queue.put(entry)

    def settle(self, patience_s: float = 10.0) -> bool:
        """Wait until all queued entries are written; False if they are not in time. Call it outside the event loop."""
        settled = threading.Event()
        self._queue.put(settled)
        return settled.wait(patience_s)

    def close(self, patience_s: float = 5.0) -> int:
        """Write what still waits and stop; returns how many entries it could not write in that time."""
        self._deadline = time.monotonic() + patience_s
        self._closing.set()
        self._queue.put(threading.Event())  # so that it wakes up
        self._thread.join(patience_s + self._again_s + LAST_S)
        left = self._left()
        if left:
            LOG.error("The history closed before everything was written. Lost reps and ends of runs: %d.", left)
        return left

    def _left(self) -> int:
        """How many entries are not written; the events that only wait for them are not entries."""
        left = [self._held]
        with suppress(Empty):
            while True:
                left.append(self._queue.get_nowait())
        return sum(one is not None and not isinstance(one, threading.Event) for one in left)

    def _run(self) -> None:
        while not (self._closing.is_set() and self._queue.empty()):
            self._held = one = self._queue.get()
            if isinstance(one, threading.Event):
                one.set()
            elif one.begun.key not in self._gone and not self._write(one):
                return  # it is still held, and counted as left over
            self._held = None

    def _write(self, entry: Written) -> bool:
        """Write an entry, however long that takes; False if the writer is closing and cannot."""
        while True:
            try:
                self._ledger.write(entry)
            except RunDeletedError:
                self._say(DELETED)
                self._gone.add(entry.begun.key)
                return True
            except (DBAPIError, ChanterdError) as error:
                self._say(CANNOT.format(why=reason(error) if isinstance(error, DBAPIError) else error))
                if self._closing.is_set() and time.monotonic() >= self._deadline:
                    return False
                self._closing.wait(self._again_s)
                if self._closing.is_set():
                    time.sleep(min(self._again_s, 0.2))
                continue
            except Exception as error:
                LOG.exception("Internal error in the history: one rep, or the end of one run, is lost.")
                self._say(CANNOT.format(why=f"an internal error, {type(error).__name__}"))
                return True
            if entry.begun.key != self._missed_in:
                self._say(WELL)
            return True

    def _report_missing(self, begun: RunBegun | TuneBegun | FreeBegun, said: str) -> None:
        """Report what was missing; that report stays until the end of the run."""
        self._missed_in = begun.key
        self._say(said)

    def _say(self, said: str | None) -> None:
        if said == self._said:
            return
        self._said = said
        if said is None:
            LOG.info("chanterd can write the history again.")
        else:
            LOG.error("%s", said)
        self._report(said)
