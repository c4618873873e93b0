"""Engraves in separate processes: verovio blocks the interpreter while it works, and the one that hears must go on.

Staves have one process, which keeps those it has made; each sheet has its own, which ends with it and frees its memory.
They start when first needed.
"""

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial

from chanterd.config import ChanterdError
from chanterd.engraving.staff import staff_svg
from chanterd.engraving.tune import tune_svg
from chanterd.engraving.worker import Worker, report_progress
from chanterd.music.drill import drill_from_words
from chanterd.music.ornament import Book
from chanterd.music.tunes.tune import Tune

OnProgress = Callable[[int, int], None]
PROGRESS_EVERY_S = 0.2


def quiet(_done: int, _of: int) -> None:
    """Ignore the progress."""


def sheet_as_pdf(phrases: Sequence[str], book: Book, *, stages: bool, tempo: str, title: str, paper: str) -> bytes:
    """The sheet that a page requests. Raises ChanterdError with what is wrong with the request."""
    from chanterd.engraving.press import sheet_pdf  # noqa: PLC0415 - the printer's libraries are large
    from chanterd.engraving.sheet import make_sheet  # noqa: PLC0415

    made = make_sheet(phrases, book, stages=stages, tempo=tempo, title=title, paper=paper)
    return sheet_pdf(made, report_progress)


class Workshop:
    """Makes the notation of a daemon's book, for all its seats."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._staves = Worker()
        self._sheets = Worker()
        self._one_sheet = asyncio.Lock()

    async def warm_up(self, words: str) -> None:
        """Start the process for staves with a first one. What goes wrong is said to whoever asks for a stave."""
        with suppress(ChanterdError):
            await self.staff(words)

    async def staff(self, words: str) -> str:
        """The drill in staff notation, as SVG; see :func:`.staff_svg`."""
        return await self._staves.make(partial(staff_svg, drill_from_words(words, self._book)))

    async def tune(self, tune: Tune, first: int, last: int, width: float) -> str:
        """Notes of a tune in staff notation, as SVG; see :func:`.tune_svg`."""
        return await self._staves.make(partial(tune_svg, tune, first, last, width))

    async def sheet(
        self,
        phrases: Sequence[str],
        *,
        stages: bool = False,
        tempo: str = "",
        title: str = "",
        paper: str = "a4",
        on_progress: OnProgress = quiet,
    ) -> bytes:
        """A sheet as PDF, one after another; see :func:`.make_sheet`. Cancelling stops its process at once.

        ``on_progress`` is called every ``PROGRESS_EVERY_S`` with how much is done, and of how much; 0 of 0 at first.
        """
        work = partial(sheet_as_pdf, tuple(phrases), self._book, stages=stages, tempo=tempo, title=title, paper=paper)
        async with self._one_sheet:
            making = asyncio.ensure_future(self._sheets.make(work))
            try:
                while not making.done():
                    await asyncio.wait([making], timeout=PROGRESS_EVERY_S)
                    on_progress(*self._sheets.progress)
                return making.result()
            finally:
                making.cancel()
                await asyncio.to_thread(self._sheets.close)

    def close(self) -> None:
        """Stop the work under way, and both processes."""
        self._staves.close()
        self._sheets.close()
