"""The web application: routes, the live socket, the page itself. The :class:`Daemon` it gets holds the state."""

import asyncio
import contextlib
import json
from collections.abc import AsyncIterator, Callable, Coroutine
from functools import cache
from typing import Any

from fastapi import FastAPI, Response, WebSocket
from fastapi.staticfiles import StaticFiles
from starlette.requests import HTTPConnection
from starlette.responses import JSONResponse, RedirectResponse
from starlette.types import ASGIApp, Scope

from chanterd import __version__
from chanterd.config import bundled
from chanterd.engraving.workshop import Workshop
from chanterd.serving.access.gate import Gate, GrantOf, refusal, session_of
from chanterd.serving.access.grants import Role
from chanterd.serving.access.rights import home, page_files
from chanterd.serving.bare_app import bare_app
from chanterd.serving.book_answers import BookPress
from chanterd.serving.bounds import Bounds
from chanterd.serving.daemon import FIRST_DRILL, Daemon
from chanterd.serving.guard import Guard
from chanterd.serving.late_route import LateRoutes, described_routes
from chanterd.serving.recordings import RecordingRoom
from chanterd.serving.routes.enter import add_enter_routes
from chanterd.serving.routes.join import add_join_route
from chanterd.serving.status import NS_PER_S, Status
from chanterd.serving.wire import frames, shapes
from chanterd.serving.wire.connection import talk
from chanterd.serving.wire.topic import Topic

TICK_S = 0.02
"""How often the daemon's seats get the time when nothing is heard, seconds."""

SEE_OTHER = 303
PAGE = (".", "index.html")
"""The paths of the page itself, as StaticFiles has them."""

READY_AFTER_S = 1.0
"""How long after the start the rest is loaded, and after the first stave the book's lists are made, seconds."""
DESCRIPTION = (
    "The WebSocket at /live sends what is played on the chanter as JSON text frames; /frames.schema.json describes "
    "them. These routes start and stop things and show the state."
)


def make_app(daemon: Daemon, port: int) -> ASGIApp:
    """The application, for requests to that port of this machine, or marked with another listener."""

    def late_api() -> FastAPI:
        from chanterd.serving.api import make_api  # noqa: PLC0415 - a sixth of all modules, none of which the page shows first

        return make_api(daemon, workshop, press, room)

    @cache
    def described() -> bytes:
        routes = [*app.routes, *api.load().routes]
        return json.dumps(
            described_routes(routes, title="chanterd", description=DESCRIPTION, version=__version__)
        ).encode()

    async def load_rest(after_s: float = 0.0) -> None:
        """Load what is left before somebody plays: in a run, nothing may have to be read from the disk."""
        await asyncio.sleep(after_s)
        await asyncio.to_thread(api.load)

    async def make_ready() -> None:
        """Start what a page wants sooner or later: at once the engraver, and when it has settled the book's lists."""
        await workshop.warm_up(FIRST_DRILL)
        await load_rest()
        await asyncio.sleep(READY_AFTER_S)
        await press.make_ready()

    @contextlib.asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        daemon.start()
        tasks = [asyncio.create_task(_tick(daemon)), asyncio.create_task(load_rest(READY_AFTER_S))]
        try:
            yield
        finally:
            for task in tasks:
                task.cancel()
            await daemon.stop()
            await press.close()
            await room.close()
            await asyncio.to_thread(workshop.close)

    workshop, press, room = Workshop(daemon.tables.book), BookPress(daemon.tables.book), RecordingRoom()
    app = bare_app(lifespan=lifespan)
    _add_routes(app, daemon, described)
    add_enter_routes(app, daemon)
    _add_live(app, daemon)
    add_join_route(app, daemon)
    api = LateRoutes("/api/", late_api, list(app.routes))
    app.routes.append(api)
    app.mount("/", _Web(make_ready))
    return Guard(Gate(Bounds(app), daemon.entrance.grants, page_files(bundled("web"))), port)


class _Web(StaticFiles):
    """The page's files, the page itself as far as whoever asks may see it."""

    def __init__(self, make_ready: Callable[[], Coroutine[None, None, None]]) -> None:
        """``make_ready`` is called when the page is first fetched."""
        super().__init__(directory=bundled("web"), html=True)
        self._make_ready = make_ready
        self._making: asyncio.Task[None] | None = None

    async def get_response(self, path: str, scope: Scope) -> Response:
        """A file; see Starlette."""
        if path in PAGE:
            session = session_of(HTTPConnection(scope))
            if session is None:
                return await super().get_response("enter/index.html", scope)
            if session.grant.role is not Role.DESK:
                return RedirectResponse(home(session.grant), SEE_OTHER)
        if path in PAGE and self._making is None:
            self._making = asyncio.create_task(self._make_ready())
        return await super().get_response(path, scope)


async def _tick(daemon: Daemon) -> None:
    while True:
        due_ns = daemon.clock() + round(TICK_S * NS_PER_S)
        await asyncio.sleep(TICK_S)
        daemon.health.woke(daemon.clock() - due_ns)
        await daemon.tick_in_turn()


def _add_routes(app: FastAPI, daemon: Daemon, described: Callable[[], bytes]) -> None:
    # The page waits for this one; to check it, as other answers are checked, would take longer than to make it.
    @app.get("/api/state", response_model=shapes.StateShown)
    async def state(grant: GrantOf) -> Response:
        """All that a page needs to draw itself; for a seat's own page, that seat only."""
        return JSONResponse(daemon.state(Topic(seat=grant.seat)))

    @app.get("/api/status")
    async def status() -> Status:
        """How the daemon is doing, for when something is slow."""
        return daemon.status()

    @app.get("/frames.schema.json")
    async def schema() -> dict[str, Any]:
        """The JSON Schema of every frame on /live."""
        return await asyncio.to_thread(frames.frames_schema)

    @app.get("/openapi.json", include_in_schema=False)
    async def openapi() -> Response:
        """Every route, as OpenAPI describes it."""
        return Response(await asyncio.to_thread(described), media_type="application/json")


def _add_live(app: FastAPI, daemon: Daemon) -> None:
    @app.websocket("/live")
    async def live(socket: WebSocket) -> None:
        query, session = socket.query_params, session_of(socket)
        topic = Topic(seat=query.get("seat"), wall="wall" in query, desk="desk" in query)
        if session is None or not session.grant.may_watch(topic.seat, wall=topic.wall, desk=topic.desk):
            await socket.send_denial_response(refusal())
        else:
            await talk(socket, daemon, topic, session)
