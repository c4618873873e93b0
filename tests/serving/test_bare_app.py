"""How every application of ours begins."""

import asyncio
from typing import Any

import httpx
from fastapi import FastAPI
from pydantic import BaseModel

from chanterd.config import ChanterdError
from chanterd.serving.access.grants import ForbiddenError
from chanterd.serving.bare_app import bare_app


class Asked(BaseModel):
    """A body."""

    click_bpm: float


def app() -> FastAPI:
    """One with a few routes."""
    app = bare_app(Asked.model_fields)

    @app.post("/tempo")
    def tempo(asked: Asked) -> float:
        """Say a tempo."""
        return asked.click_bpm

    @app.get("/refused")
    def refused() -> None:
        """Refuse."""
        raise ChanterdError("Not today; come back tomorrow.")

    @app.get("/shut")
    def shut() -> None:
        """Be shut."""
        raise ForbiddenError

    return app


def ask(method: str, path: str, body: Any = None) -> httpx.Response:
    """What it answers."""

    async def answer() -> httpx.Response:
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app()), base_url="http://here") as client:
            return await client.request(method, path, json=body)

    return asyncio.run(answer())


def test_mistakes_are_said_in_one_form() -> None:
    """A refusal, a door that is shut, a wrong body: {"said": text}, with the status that belongs to it."""
    assert ask("POST", "/tempo", {"click_bpm": 60}).json() == 60
    assert ask("GET", "/refused").json() == {"said": "Not today; come back tomorrow."}
    assert (ask("GET", "/shut").status_code, list(ask("GET", "/shut").json())) == (403, ["said"])
    answer = ask("POST", "/tempo", {"click_bpm": "fast"})
    assert answer.status_code == 422
    assert answer.json()["said"].startswith("The field 'click_bpm' is 'fast'; it must be a number")


def test_it_describes_itself_to_nobody() -> None:
    """The description of all routes together has a route of its own; FastAPI's would hold up the event loop."""
    assert [ask("GET", path).status_code for path in ("/openapi.json", "/docs", "/redoc")] == [404, 404, 404]
