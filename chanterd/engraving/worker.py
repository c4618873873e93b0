"""A worker process, started when there is work, and again if it has died."""

import asyncio
import os
import signal
import threading
from collections.abc import Callable, Coroutine
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from ctypes import Array, c_int
from multiprocessing import get_context, parent_process
from types import FrameType
from typing import TypeVar

from chanterd.config import ChanterdError

T = TypeVar("T")
NICE = 10
"""By how much a process that gives way is nicer than the daemon; the most is 19 (POSIX nice)."""
_SPAWN = get_context("spawn")
_progress: "Array[c_int] | None" = None
"""In the other process: where it reports its progress …"""
_stopped = False
"""… and whether it was asked to stop while it had no work."""


class Worker:
    """The worker process, seen from the daemon."""

    def __init__(self, name: str = "The engraver", *, gives_way: bool = False) -> None:
        """``name`` is what a player reads it is called, should it die.

        One that ``gives_way`` works when the processor has nothing else to do, where the system knows such a thing.
        """
        self._name, self._gives_way = name, gives_way
        self._pool: ProcessPoolExecutor | None = None
        self._process: int | None = None
        self._progress = _SPAWN.RawArray(c_int, 2)

    @property
    def progress(self) -> tuple[int, int]:
        """How much of the work under way is done, and of how much; 0 of 0 while unknown."""
        return self._progress[0], self._progress[1]

    def make(self, work: Callable[[], T]) -> Coroutine[None, None, T]:
        """The result of the work. Raises what it raises, and ChanterdError if the process dies or is stopped."""
        if self._pool is None:  # now, not when it is first awaited: closing in between has something to close
            self._progress[:] = [0, 0]
            self._pool = ProcessPoolExecutor(1, _SPAWN, _begin, (self._progress, self._gives_way))
        return self._make(self._pool, work)

    async def _make(self, pool: ProcessPoolExecutor, work: Callable[[], T]) -> T:
        try:
            await self._meet(pool)
            return await asyncio.wrap_future(_submit(pool, work))
        except (BrokenProcessPool, asyncio.CancelledError) as error:
            task = asyncio.current_task()
            if task is not None and task.cancelling():  # nobody waits for it any longer
                raise
            if self._pool is pool:
                self._pool = self._process = None
            # Work that had not begun when the pool was closed is cancelled; what had begun has lost its process.
            raise ChanterdError(f"{self._name} stopped, perhaps for lack of memory; try again.") from error

    async def _meet(self, pool: ProcessPoolExecutor) -> None:
        """Find out the process's number, so that it can be stopped. A thread starts it, since that takes a while."""
        if self._process is None:
            process = await asyncio.wrap_future(await asyncio.to_thread(_submit, pool, os.getpid))
            if self._pool is pool:
                self._process = process

    def close(self) -> None:
        """Cancel the work that is under way or waiting."""
        pool, process = self._pool, self._process
        self._pool = self._process = None
        if process is not None:
            with suppress(ProcessLookupError):
                os.kill(process, signal.SIGTERM)
        if pool is not None:
            pool.shutdown(cancel_futures=True)


def report_progress(done: int, of: int) -> None:
    """Report progress from within the work."""
    if _progress is not None:
        _progress[:] = [done, of]


def _submit(pool: ProcessPoolExecutor, work: Callable[[], T]) -> Future[T]:
    """Submit work. Raises BrokenProcessPool if the pool was closed in the meantime, as if it had died."""
    try:
        return pool.submit(_run, work)
    except BrokenProcessPool:
        raise
    except RuntimeError as error:
        raise BrokenProcessPool("The pool has been closed.") from error


def _begin(progress: "Array[c_int]", gives_way: bool) -> None:  # noqa: FBT001 - a pool passes no names
    """Set up the worker process: it leaves Ctrl-C to the daemon, and ends whenever the daemon ends.

    It is stopped by SIGTERM, at once while it works, but not while it sends a result: of half a result the daemon would
    wait for the other half for ever, since it holds that pipe open itself.
    """
    global _progress  # noqa: PLW0603 - a separate process, which does one job at a time
    _progress = progress
    if gives_way and hasattr(os, "nice"):
        os.nice(NICE)
    for name in ("SIGINT", "SIGHUP"):  # a terminal sends them to every process of the daemon
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _stop)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _stop(_number: int, _frame: FrameType | None) -> None:
    global _stopped  # noqa: PLW0603 - of the whole process
    _stopped = True


def _run(work: Callable[[], T]) -> T:
    """Do the work, during which the process may be killed."""
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    if _stopped:  # just before: what still waits is not begun
        os._exit(1)
    try:
        return work()
    finally:
        signal.signal(signal.SIGTERM, _stop)


def _end_with_parent() -> None:
    """Wait until the daemon is gone, even killed, and end at once: nobody will fetch the result."""
    daemon = parent_process()
    if daemon is not None:
        daemon.join()
        os._exit(0)
