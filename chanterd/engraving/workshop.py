"""Engraving in processes of its own: verovio holds the interpreter while it works, and the one that hears must go on.

Staves have one process, which keeps them ready once made; each sheet has one that ends with it and gives its memory
back. Both start when first needed.
"""

import asyncio
import os
import signal
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from functools import partial
from multiprocessing import get_context
from typing import TypeVar

from chanterd.config import ChanterdError
from chanterd.engraving.staff import staff_svg

T = TypeVar("T")


def sheet_as_pdf(phrases: Sequence[str], *, stages: bool, tempo: str, title: str, paper: str) -> bytes:
    """A sheet from what a page asks for. Raises ChanterdError for what cannot be had."""
    from chanterd.engraving.press import sheet_pdf  # noqa: PLC0415 - the printer's libraries are large
    from chanterd.engraving.sheet import make_sheet  # noqa: PLC0415

    return sheet_pdf(make_sheet(phrases, stages=stages, tempo=tempo, title=title, paper=paper))


class Workshop:
    """Where a daemon has its notation made; one for all its seats."""

    def __init__(self) -> None:
        self._staves = _Bench()
        self._sheets = _Bench()
        self._one_sheet = asyncio.Lock()

    async def staff(self, words: str) -> str:
        """The drill in staff notation, as SVG; see :func:`.staff_svg`."""
        return await self._staves.make(partial(staff_svg, words))

    async def sheet(
        self, phrases: Sequence[str], *, stages: bool = False, tempo: str = "", title: str = "", paper: str = "a4"
    ) -> bytes:
        """A sheet as PDF, one after another; see :func:`.make_sheet`."""
        async with self._one_sheet:
            try:
                return await self._sheets.make(
                    partial(sheet_as_pdf, tuple(phrases), stages=stages, tempo=tempo, title=title, paper=paper)
                )
            finally:
                await asyncio.to_thread(self._sheets.close)

    def close(self) -> None:
        """Stop what is being made, and both processes."""
        self._staves.close()
        self._sheets.close()


class _Bench:
    """One process, started when there is work, and started anew if it has died."""

    def __init__(self) -> None:
        self._pool: ProcessPoolExecutor | None = None
        self._process: int | None = None

    async def make(self, work: Callable[[], T]) -> T:
        if self._pool is None:
            self._pool = ProcessPoolExecutor(1, get_context("spawn"), _leave_interrupts_to_the_daemon)
        pool = self._pool
        try:
            await self._meet(pool)
            return await asyncio.wrap_future(_submit(pool, work))
        except BrokenProcessPool as error:
            if self._pool is pool:
                self._pool = self._process = None
            raise ChanterdError("The engraver has stopped, perhaps for want of memory; ask once more.") from error

    async def _meet(self, pool: ProcessPoolExecutor) -> None:
        """Learn the number of the process, so that it can be stopped. It is started by a thread: that takes a while."""
        if self._process is None:
            process = await asyncio.wrap_future(await asyncio.to_thread(_submit, pool, os.getpid))
            if self._pool is pool:
                self._process = process

    def close(self) -> None:
        """Work that is under way, or waits, is given up."""
        pool, process = self._pool, self._process
        self._pool = self._process = None
        if process is not None:
            with suppress(ProcessLookupError):
                os.kill(process, signal.SIGTERM)
        if pool is not None:
            pool.shutdown()


def _submit(pool: ProcessPoolExecutor, work: Callable[[], T]) -> Future[T]:
    """Hand work over. Raises BrokenProcessPool if the pool has been closed in the meantime, as if it had died."""
    try:
        return pool.submit(work)
    except BrokenProcessPool:
        raise
    except RuntimeError as error:
        raise BrokenProcessPool("The pool has been closed.") from error


def _leave_interrupts_to_the_daemon() -> None:
    """Ctrl-C in a terminal reaches every process of the daemon; it is for the daemon to close the workshop."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
