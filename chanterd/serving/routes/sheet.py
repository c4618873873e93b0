"""The routes of sheets: the workshop makes them, reports progress, and cancels when nobody waits any longer."""

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
from chanterd.engraving.workshop import OnProgress, Workshop, quiet
from chanterd.serving.routes import body
from chanterd.serving.routes.hang_up import unless_gone


class SheetRequest(body.Body):
    """The body of ``POST /api/sheet`` and ``POST /api/sheet/progress``."""

    drills: list[str] = Field(description="Drills, or words that choose several.", min_length=1, max_length=2000)
    stages: bool = Field(default=False, description="Build each ornament up, stage beside stage.")
    tempo: str = Field(
        "",
        description="Boxes to tick, in clicks: '60-80', '60-80 by 4' or '60, 66, 72'; or '60-80 beats'.",
        max_length=100,
    )
    title: str = Field("", description="Without it, what is on the sheet.", max_length=120)
    paper: str = Field("a4", description="'a4' or 'letter'.", max_length=20)


def add_sheet_routes(app: FastAPI, workshop: Workshop) -> None:
    """Add them to the application."""

    async def make(request: SheetRequest, on_progress: OnProgress = quiet) -> bytes:
        return await workshop.sheet(
            request.drills,
            stages=request.stages,
            tempo=request.tempo,
            title=request.title,
            paper=request.paper,
            on_progress=on_progress,
        )

    @app.post("/api/sheet", response_class=Response)
    async def sheet(request: Annotated[SheetRequest, Body()], connection: Request) -> Response:
        """Drills on paper, as PDF; hang up to cancel it."""
        pdf = await unless_gone(connection, make(request))
        return Response(pdf or b"", media_type="application/pdf")

    @app.post("/api/sheet/progress", response_class=Response)
    async def sheet_with_progress(request: Annotated[SheetRequest, Body()]) -> Response:
        """The same, with a JSON line of progress each time, and the PDF in base64 in the last; hang up to cancel it."""
        return StreamingResponse(_lines(partial(make, request)), media_type="application/x-ndjson")


async def _lines(make: Callable[[OnProgress], Coroutine[None, None, bytes]]) -> AsyncIterator[str]:
    """``{"done": 3, "of": 92}`` as the work goes on, then ``{"pdf": ...}`` or ``{"said": why not}``."""
    progress: asyncio.Queue[tuple[int, int] | None] = asyncio.Queue()
    making = asyncio.create_task(make(lambda done, of: progress.put_nowait((done, of))))
    making.add_done_callback(lambda _: progress.put_nowait(None))
    try:
        while step := await progress.get():
            yield _line(done=step[0], of=step[1])
        try:
            yield _line(pdf=b64encode(making.result()).decode())
        except ChanterdError as error:
            yield _line(said=str(error))
    finally:
        making.cancel()  # does nothing to what is done


def _line(**members: object) -> str:
    return f"{json.dumps(members)}\n"
