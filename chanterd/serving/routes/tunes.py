"""The routes of tunes: list them, show one, keep a file, delete one of the player's own."""

import asyncio
from typing import Annotated

from fastapi import FastAPI, Path, Query, Request

from chanterd.config import ChanterdError
from chanterd.music.ornament import Book
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.wire.tunes import TuneRow, TuneShown, tune_row, tune_shown

TuneKey = Annotated[str, Path(max_length=200, description="A tune's key, as listed by GET /api/tunes.")]
FileName = Annotated[str, Query(alias="name", max_length=300, description="The file's name, such as march.abc.")]


def add_tune_routes(app: FastAPI, shelf: Shelf, book: Book) -> None:
    """Add them to the application. Files are read in a thread, so that nobody who plays waits for one."""
    writing = asyncio.Lock()  # two files of one name at once must get two names

    def listed() -> list[TuneRow]:
        return [tune_row(one) for one in shelf.tunes()]

    @app.get("/api/tunes")
    async def tunes() -> list[TuneRow]:
        """Every tune."""
        return await asyncio.to_thread(listed)

    @app.get("/api/tunes/{tune}")
    async def one(tune: TuneKey) -> TuneShown:
        """One tune with every note, gracenote and ornament."""

        def show() -> TuneShown:
            found = shelf.find(tune)
            if found.tune is None:
                raise ChanterdError(found.said)
            return tune_shown(found.key, found.tune, book, own=found.own)

        return await asyncio.to_thread(show)

    @app.post("/api/tunes")
    async def add(request: Request, name: FileName) -> list[TuneRow]:
        """Keep a file of tunes (ABC or MusicXML, at most 5 MB), sent as the body; the tunes in it."""
        data = await request.body()
        async with writing:
            return await asyncio.to_thread(lambda: [tune_row(one) for one in shelf.add(name, data)])

    @app.delete("/api/tunes/{tune}")
    async def delete(tune: TuneKey) -> list[TuneRow]:
        """Delete the file that one of your own tunes is in; the tunes that are left."""
        async with writing:
            await asyncio.to_thread(shelf.delete, tune)
        return await asyncio.to_thread(listed)
