"""The writer: a thread that owns all writing of runs, so that no note ever waits for a disk or a server.

What cannot be written waits and is tried again until it can be. The writer says so once, and again when all is well.
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
from chanterd.history.ledger import Ledger, RunDeletedError
from chanterd.history.record import Entry, RunBegun
from chanterd.history.store import Store, reason

LOG = logging.getLogger(__name__)

AGAIN_S = 5.0
"""How long to wait before what could not be written is tried again."""
LAST_S = 1.0
"""How long what is being written when time is up may still take: cut off there, it would leave its connection open."""
MOST_WAITING = 20_000
"""Things told that may wait: ten hours of one player's reps, some 60 MB. What comes after them is lost, and told."""

CANNOT = "The history cannot be written: {why}. Practice goes on, and what was played is kept until it can be."
DELETED = "The run under way was deleted, so the rest of it is not kept. The next run is."
FULL = "The history cannot be written for so long now that what is played from here on is lost."
WELL = None
"""Told when writing works again."""
Tell = Callable[[str | None], None]


class Writer:
    """Takes what it is given at once and writes it as soon as it can. It calls ``tell`` on its own thread."""

    def __init__(self, store: Store, tell: Tell, again_s: float = AGAIN_S) -> None:
        self._ledger = Ledger(store, self._hear_of_missing)
        self._missed_in = ""  # the key of the run in which something had to be made again
        self._tell = tell
        self._again_s = again_s
        self._queue: SimpleQueue[Entry | threading.Event] = SimpleQueue()
        self._held: Entry | threading.Event | None = None  # taken out of the queue and not written yet
        self._gone: set[str] = set()
        self._said: str | None = WELL
        self._closing = threading.Event()
        self._deadline = 0.0
        self._thread = threading.Thread(target=self._run, name="history", daemon=True)
        self._thread.start()

    def put(self, told: Entry) -> None:
        """Have it written; returns at once."""
        if self._queue.qsize() >= MOST_WAITING:
            self._say(FULL)
            return
        self._queue.put(told)

    def settle(self, patience_s: float = 10.0) -> bool:
        """Wait until all that has been put is written; whether it is. Not in the event loop."""
        settled = threading.Event()
        self._queue.put(settled)
        return settled.wait(patience_s)

    def close(self, patience_s: float = 5.0) -> int:
        """Write what still waits and stop; returns how many events could not be written in that time."""
        self._deadline = time.monotonic() + patience_s
        self._closing.set()
        self._queue.put(threading.Event())  # so that it wakes up
        self._thread.join(patience_s + self._again_s + LAST_S)
        left = self._left()
        if left:
            LOG.error("The history was closed before all was in it; reps and ends of runs that are lost: %d.", left)
        return left

    def _left(self) -> int:
        """How many things told are not written; those who only wait for that are nothing told."""
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
                return  # it is held still, and counted among what is left
            self._held = None

    def _write(self, told: Entry) -> bool:
        """Write it, however long that takes; False if we are closing and it cannot be."""
        while True:
            try:
                self._ledger.write(told)
            except RunDeletedError:
                self._say(DELETED)
                self._gone.add(told.begun.key)
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
                LOG.exception("Internal error in the history; one rep or one end of a run is lost.")
                self._say(CANNOT.format(why=f"an internal error, {type(error).__name__}"))
                return True
            if told.begun.key != self._missed_in:
                self._say(WELL)
            return True

    def _hear_of_missing(self, begun: RunBegun, said: str) -> None:
        """What was missing stays said to the end of the run in which it was noticed."""
        self._missed_in = begun.key
        self._say(said)

    def _say(self, said: str | None) -> None:
        if said == self._said:
            return
        self._said = said
        if said is None:
            LOG.info("The history is written again.")
        else:
            LOG.error("%s", said)
        self._tell(said)
