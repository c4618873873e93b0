"""Sheets from the page: made in the workshop, with progress on the way, cancelled when nobody waits any longer."""

import asyncio
import json
from base64 import b64encode
from collections.abc import AsyncIterator, Callable, Coroutine
from functools import partial
from typing import Annotated

from fastapi import Body, FastAPI, Request, Response
from fastapi.responses import StreamingResponse
from pydantic import Field

from chanterd.config import ChanterdError
from chanterd.engraving.workshop import Told, Workshop, quiet
from chanterd.serving.routes import body


class SheetRequest(body.Body):
    """The body of ``POST /api/sheet`` and ``POST /api/sheet/told``."""

    drills: list[str] = Field(description="Drills, or words that choose several.", min_length=1, max_length=2000)
    stages: bool = Field(default=False, description="Build each ornament up, stage beside stage.")
    tempo: str = Field("", description="Boxes to tick: '60-80', '60-80 by 4' or '60, 66, 72'.", max_length=100)
    title: str = Field("", description="Left out, the names of the ornaments.", max_length=120)
    paper: str = Field("a4", description="'a4' or 'letter'.", max_length=20)


def add_sheet_routes(app: FastAPI, workshop: Workshop) -> None:
    """Add them to the application."""

    async def make(request: SheetRequest, told: Told = quiet) -> bytes:
        return await workshop.sheet(
            request.drills,
            stages=request.stages,
            tempo=request.tempo,
            title=request.title,
            paper=request.paper,
            told=told,
        )

    @app.post("/api/sheet", response_class=Response)
    async def sheet(request: Annotated[SheetRequest, Body()], connection: Request) -> Response:
        """Drills on paper, as PDF; hang up to cancel it."""
        making = asyncio.ensure_future(make(request))
        gone = asyncio.ensure_future(_gone(connection))
        try:
            await asyncio.wait((making, gone), return_when=asyncio.FIRST_COMPLETED)
            return Response(making.result() if making.done() else b"", media_type="application/pdf")
        finally:
            gone.cancel()
            making.cancel()  # does nothing to what is done

    @app.post("/api/sheet/told", response_class=Response)
    async def sheet_told(request: Annotated[SheetRequest, Body()]) -> Response:
        """The same, a JSON line each time that more is done, the PDF in base64 in the last; hang up to cancel it."""
        return StreamingResponse(_lines(partial(make, request)), media_type="application/x-ndjson")


async def _gone(connection: Request) -> None:
    """Wait until whoever made the request has hung up; its body has been read."""
    while (await connection.receive())["type"] != "http.disconnect":
        pass


async def _lines(make: Callable[[Told], Coroutine[None, None, bytes]]) -> AsyncIterator[str]:
    """``{"done": 3, "of": 92}`` as it gets on, then ``{"pdf": ...}`` or ``{"said": why not}``."""
    news: asyncio.Queue[tuple[int, int] | None] = asyncio.Queue()
    making = asyncio.create_task(make(lambda done, of: news.put_nowait((done, of))))
    making.add_done_callback(lambda _: news.put_nowait(None))
    try:
        while told := await news.get():
            yield _line(done=told[0], of=told[1])
        try:
            yield _line(pdf=b64encode(making.result()).decode())
        except ChanterdError as error:
            yield _line(said=str(error))
    finally:
        making.cancel()  # does nothing to what is done


def _line(**told: object) -> str:
    return f"{json.dumps(told)}\n"
