"""The two long answers about the book, which a process of their own makes, once.

All drills and all ornaments take a second to work out and leave several megabytes of memory behind. In the daemon's own
process, what is heard would have to share that second, and the memory would stay.
"""

import asyncio
import gzip
import json
from contextlib import suppress
from dataclasses import dataclass
from functools import partial

from starlette.requests import Request
from starlette.responses import Response

from chanterd.config import ChanterdError
from chanterd.engraving.worker import Worker
from chanterd.music.drill import all_drills, list_drill
from chanterd.music.ornament import Book
from chanterd.serving.wire.book import shown_book

GZIP = "gzip"


@dataclass(frozen=True, slots=True)
class BookAnswers:
    """Both as JSON, packed with gzip: together a twentieth of their length."""

    drills: bytes
    """A list of ``ListedDrill``."""
    book: bytes
    """A ``BookShown``."""


def make_answers(book: Book) -> BookAnswers:
    """Work both out; it takes a second."""
    return BookAnswers(_packed([list_drill(drill) for drill in all_drills(book)]), _packed(shown_book(book)))


def _packed(answer: object) -> bytes:
    return gzip.compress(json.dumps(answer).encode())


def answered(packed: bytes, request: Request) -> Response:
    """The response: packed for whoever can unpack it, as every browser can."""
    accepted = (one.split(";")[0].strip() for one in request.headers.get("accept-encoding", "").split(","))
    headers = {"vary": "Accept-Encoding"}
    if GZIP in accepted:
        return Response(packed, headers={**headers, "content-encoding": GZIP}, media_type="application/json")
    return Response(gzip.decompress(packed), headers=headers, media_type="application/json")


class BookPress:
    """Has the answers made when they are first wanted."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._making: asyncio.Task[BookAnswers] | None = None

    async def answers(self) -> BookAnswers:
        """Both answers. Raises ChanterdError if the process that makes them dies; the next call tries again."""
        if self._making is None or (self._making.done() and self._making.exception() is not None):
            self._making = asyncio.create_task(self._make())
        return await asyncio.shield(self._making)

    async def make_ready(self) -> None:
        """Have them made before somebody wants them. What goes wrong is said to whoever does."""
        with suppress(ChanterdError):
            await self.answers()

    async def close(self) -> None:
        """Give up what is being made."""
        if self._making is not None:
            self._making.cancel()
            await asyncio.wait([self._making])

    async def _make(self) -> BookAnswers:
        worker = Worker("The process that lists the book's drills")
        try:
            return await worker.make(partial(make_answers, self._book))
        finally:
            await asyncio.to_thread(worker.close)
