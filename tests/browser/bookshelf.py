"""The book for the stand-in: a few ornaments of the shipped table, with their staves; what is asked of it is kept."""

import asyncio
import json
from base64 import b64encode
from collections.abc import AsyncIterator, Callable
from functools import cache
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse, StreamingResponse

from chanterd.config import ChanterdError
from chanterd.engraving.staff import staff_svg
from chanterd.music.book import standard_book
from chanterd.music.drill import drill_from_words, list_drill
from chanterd.serving.routes.book import find_ornaments
from chanterd.serving.wire.book import shown_book
from chanterd.tables import read_tables
from tests.browser import scene
from tests.browser.placed_reps import segments

TUNINGS = [
    {
        "name": "present day",
        "said": "D a pure fourth above low A.",
        "hz": [420, 480, 540, 600, 640, 720, 800, 840, 960],
    },
    {
        "name": "of the 1950s",
        "said": "D sharper than now.",
        "hz": [408, 459, 516.4, 573.75, 619.65, 688.5, 765, 826.2, 918],
    },
]
NO_FOLDER = Path("no folder of own tables")
PDF = b"%PDF-1.4 a stand-in for a sheet"


@cache
def book() -> Any:
    """The whole book."""
    return shown_book(standard_book())


def add_bookshelf(app: FastAPI, asked: list[tuple[str, str, Any]], refusal: Callable[[], str | None]) -> None:
    """Add the book's routes; requests for a sheet are added to ``asked``, and refused where there is a refusal."""

    @app.exception_handler(ChanterdError)
    async def refuse(_request: Request, error: ChanterdError) -> Response:
        return JSONResponse({"said": str(error)}, status_code=422)

    @app.get("/api/book")
    def whole_book() -> Any:
        return book()

    @app.get("/api/drill")
    def drill(words: str) -> Any:
        return list_drill(drill_from_words(words))

    @app.get("/api/found")
    def found(words: str) -> Any:
        return find_ornaments(words, read_tables(NO_FOLDER))

    @app.get("/api/staff")
    def staff(drill: str) -> Response:
        return Response(staff_svg(drill_from_words(drill)), media_type="image/svg+xml")

    @app.get("/api/tunings")
    def tunings() -> Any:
        return TUNINGS

    @app.get("/api/timetable")
    def timetable(drill: str, click_bpm: float, reps: int = 1) -> Any:
        found = scene.drill_named(drill.split(",", maxsplit=1)[0]) or scene.DRILLS[0]
        told = scene.grid(click_bpm)
        asked = scene.asked(found, click_bpm)
        return {
            "asked": asked,
            "sequence": [asked],
            "segments": segments(click_bpm, reps),
            **{name: told[name] for name in ("click_bpm", "clicks_per_rep", "ornament_beat")},
        }

    @app.post("/api/sheet/progress")
    async def sheet(request: Request) -> Response:
        asked.append(("POST", "sheet", await request.json()))

        async def told() -> AsyncIterator[str]:
            for done in (0, 12, 34):
                yield f'{{"done": {done}, "of": 92}}\n'
            if asked[-1][2]["title"] == "Endless":
                await asyncio.Event().wait()
            last = {"said": said} if (said := refusal()) else {"pdf": b64encode(PDF).decode()}
            yield f"{json.dumps(last)}\n"

        return StreamingResponse(told(), media_type="application/x-ndjson")
