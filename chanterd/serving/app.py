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
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Scope

from chanterd import __version__
from chanterd.config import bundled
from chanterd.engraving.workshop import Workshop
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.access.gate import Gate, GrantOf, refusal, session_of
from chanterd.serving.access.grants import Role
from chanterd.serving.access.rights import home, page_files
from chanterd.serving.book_answers import BookPress
from chanterd.serving.bounds import Bounds
from chanterd.serving.daemon import FIRST_DRILL, Daemon
from chanterd.serving.errors import UNFIT, Said, add_refusals
from chanterd.serving.guard import Guard
from chanterd.serving.late_route import LateRoute, description_of
from chanterd.serving.routes.book import add_book_routes
from chanterd.serving.routes.chanter import InputRequest, ProfileRequest, add_chanter_routes
from chanterd.serving.routes.classes import KeepRequest, add_classes_routes
from chanterd.serving.routes.enter import add_enter_routes
from chanterd.serving.routes.history import add_history_routes
from chanterd.serving.routes.join import add_join_route
from chanterd.serving.routes.klass import BODIES as CLASS_BODIES
from chanterd.serving.routes.klass import add_class_routes
from chanterd.serving.routes.listen import OfferRequest, add_listen_routes
from chanterd.serving.routes.past_free import add_past_free_routes
from chanterd.serving.routes.past_tunes import add_past_tune_routes
from chanterd.serving.routes.plans import PlanChange, SessionRequest, add_plan_routes, add_session_routes
from chanterd.serving.routes.players import NameRequest, SeatRequest, add_player_routes
from chanterd.serving.routes.practice import GuessRequest, PracticeRequest, add_practice_routes
from chanterd.serving.routes.progress import add_progress_routes
from chanterd.serving.routes.proposal import RefusalRequest, add_proposal_routes
from chanterd.serving.routes.repertoire import RepertoireRequest, add_repertoire_routes
from chanterd.serving.routes.seats import NewSeatRequest, add_seat_routes
from chanterd.serving.routes.sheet import SheetRequest, add_sheet_routes
from chanterd.serving.routes.tunes import add_tune_routes
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
"""How long after the first stave the book's lists are made, seconds."""

DESCRIPTION = (
    "The WebSocket at /live sends what is played on the chanter as JSON text frames; /frames.schema.json describes "
    "them. These routes start and stop things and show the state."
)


BODIES = (
    PracticeRequest,
    GuessRequest,
    InputRequest,
    ProfileRequest,
    SessionRequest,
    PlanChange,
    NameRequest,
    SeatRequest,
    RefusalRequest,
    SheetRequest,
    OfferRequest,
    *CLASS_BODIES,
    KeepRequest,
    NewSeatRequest,
    RepertoireRequest,
)
FIELDS = tuple({field for body in BODIES for field in body.model_fields})


def make_app(daemon: Daemon, port: int) -> ASGIApp:
    """The application, for requests to that port of this machine, or marked with another listener."""

    async def make_ready() -> None:
        """Start what a page wants sooner or later: at once the engraver, and when it has settled the book's lists."""
        await workshop.warm_up(FIRST_DRILL)
        await asyncio.sleep(READY_AFTER_S)
        await press.make_ready()

    @contextlib.asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        daemon.start()
        ticking = asyncio.create_task(_tick(daemon))
        try:
            yield
        finally:
            ticking.cancel()
            await daemon.stop()
            await press.close()
            await asyncio.to_thread(workshop.close)

    workshop, press = Workshop(daemon.tables.book), BookPress(daemon.tables.book)
    shelf = Shelf(daemon.folder)
    app = FastAPI(
        title="chanterd",
        description=DESCRIPTION,
        version=__version__,
        lifespan=lifespan,
        openapi_url=None,  # it would be made in the event loop
        responses={UNFIT: {"model": Said, "description": "Why it cannot be done, and what to do."}},
    )
    app.router.route_class = LateRoute  # type: ignore[assignment]  # FastAPI only makes it and keeps it
    add_refusals(app, FIELDS)
    _add_routes(app, daemon)
    add_practice_routes(app, daemon, shelf)
    add_listen_routes(app, daemon, shelf)
    add_chanter_routes(app, daemon)
    add_session_routes(app, daemon)
    add_plan_routes(app, daemon)
    add_seat_routes(app, daemon)
    add_class_routes(app, daemon)
    add_classes_routes(app, daemon)
    add_book_routes(app, daemon, workshop, press)
    add_sheet_routes(app, workshop)
    add_tune_routes(app, daemon, shelf, workshop)
    add_repertoire_routes(app, daemon, shelf)
    add_player_routes(app, daemon)
    add_history_routes(app, daemon)
    add_past_tune_routes(app, daemon, shelf)
    add_past_free_routes(app, daemon)
    add_progress_routes(app, daemon)
    add_proposal_routes(app, daemon, shelf)
    add_enter_routes(app, daemon)
    _add_live(app, daemon)
    add_join_route(app, daemon)
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


def _add_routes(app: FastAPI, daemon: Daemon) -> None:
    @app.get("/api/state")
    async def state(grant: GrantOf) -> shapes.StateShown:
        """All that a page needs to draw itself; for a seat's own page, that seat only."""
        return daemon.state(Topic(seat=grant.seat))

    @app.get("/api/status")
    async def status() -> Status:
        """How the daemon is doing, for when something is slow."""
        return daemon.status()

    @app.get("/frames.schema.json")
    async def schema() -> dict[str, Any]:
        """The JSON Schema of every frame on /live."""
        return await asyncio.to_thread(frames.frames_schema)

    @cache
    def described() -> bytes:
        return json.dumps(description_of(app)).encode()

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
