"""The web application: routes, the live socket, the page itself. The :class:`Daemon` it gets holds the state."""

import asyncio
import contextlib
from collections.abc import AsyncIterator
from typing import Any

from fastapi import FastAPI, Response, WebSocket
from fastapi.routing import APIRoute
from fastapi.staticfiles import StaticFiles
from starlette.requests import HTTPConnection
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Scope

from chanterd import __version__
from chanterd.config import bundled
from chanterd.engraving.workshop import Workshop
from chanterd.music.drill import ListedDrill
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.access.gate import Gate, GrantOf, refusal, session_of
from chanterd.serving.access.grants import Role
from chanterd.serving.access.rights import home, page_files
from chanterd.serving.bounds import Bounds
from chanterd.serving.daemon import FIRST_DRILL, Daemon
from chanterd.serving.errors import UNFIT, Said, add_refusals
from chanterd.serving.guard import Guard
from chanterd.serving.routes.book import add_book_routes
from chanterd.serving.routes.chanter import InputRequest, ProfileRequest, add_chanter_routes
from chanterd.serving.routes.classes import KeepRequest, add_classes_routes
from chanterd.serving.routes.enter import add_enter_routes
from chanterd.serving.routes.history import add_history_routes
from chanterd.serving.routes.join import add_join_route
from chanterd.serving.routes.klass import BODIES as CLASS_BODIES
from chanterd.serving.routes.klass import add_class_routes
from chanterd.serving.routes.listen import OfferRequest, add_listen_routes
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
"""How long after the start the slow answers are prepared, seconds."""

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

    def make_ready() -> None:
        """Prepare the slow answers before anybody plays, so that a later request for one holds nobody up."""
        _ = app.openapi(), pages.book_json, daemon.drills_json

    async def make_ready_soon() -> None:
        """Prepare them after the first page has its answer, which is more urgent."""
        await asyncio.sleep(READY_AFTER_S)
        await asyncio.to_thread(make_ready)

    @contextlib.asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        daemon.start()
        tasks = [asyncio.create_task(_tick(daemon)), asyncio.create_task(make_ready_soon())]
        try:
            yield
        finally:
            for task in tasks:
                task.cancel()
            await daemon.stop()
            await asyncio.to_thread(workshop.close)

    workshop = Workshop(daemon.tables.book)
    shelf = Shelf(daemon.folder)
    app = FastAPI(
        title="chanterd",
        description=DESCRIPTION,
        version=__version__,
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        responses={UNFIT: {"model": Said, "description": "Why it cannot be done, and what to do."}},
    )
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
    pages = add_book_routes(app, daemon, workshop)
    add_sheet_routes(app, workshop)
    add_tune_routes(app, daemon, shelf, workshop)
    add_repertoire_routes(app, daemon, shelf)
    add_player_routes(app, daemon)
    add_history_routes(app, daemon)
    add_past_tune_routes(app, daemon, shelf)
    add_progress_routes(app, daemon)
    add_proposal_routes(app, daemon, shelf)
    add_enter_routes(app, daemon)
    _name_operations(app)
    _add_live(app, daemon)
    add_join_route(app, daemon)
    app.mount("/", _Web(workshop))
    return Guard(Gate(Bounds(app), daemon.entrance.grants, page_files(bundled("web"))), port)


class _Web(StaticFiles):
    """The page's files, the page itself as far as whoever asks may see it.

    Whoever fetches the page wants a stave next, so the engraver starts then.
    """

    def __init__(self, workshop: Workshop) -> None:
        super().__init__(directory=bundled("web"), html=True)
        self._workshop = workshop
        self._warming: asyncio.Task[None] | None = None

    async def get_response(self, path: str, scope: Scope) -> Response:
        """A file; see Starlette."""
        if path in PAGE:
            session = session_of(HTTPConnection(scope))
            if session is None:
                return await super().get_response("enter/index.html", scope)
            if session.grant.role is not Role.DESK:
                return RedirectResponse(home(session.grant), SEE_OTHER)
        if path in PAGE and self._warming is None:
            self._warming = asyncio.create_task(self._workshop.warm_up(FIRST_DRILL))
        return await super().get_response(path, scope)


async def _tick(daemon: Daemon) -> None:
    while True:
        due_ns = daemon.clock() + round(TICK_S * NS_PER_S)
        await asyncio.sleep(TICK_S)
        daemon.health.woke(daemon.clock() - due_ns)
        await daemon.tick_in_turn()


def _name_operations(app: FastAPI) -> None:
    """Use each operation's docstring as its summary."""
    for route in app.routes:
        if isinstance(route, APIRoute):
            route.summary, route.description = route.description.rstrip("."), ""


def _add_routes(app: FastAPI, daemon: Daemon) -> None:
    @app.get("/api/state")
    async def state(grant: GrantOf) -> shapes.StateShown:
        """All that a page needs to draw itself; for a seat's own page, that seat only."""
        return daemon.state(Topic(seat=grant.seat))

    @app.get("/api/status")
    async def status() -> Status:
        """How the daemon is doing, for when something is slow."""
        return daemon.status()

    @app.get("/api/drills", response_model=list[ListedDrill])
    async def drills() -> Response:
        """Every drill in the book."""
        return Response(await asyncio.to_thread(lambda: daemon.drills_json), media_type="application/json")

    @app.get("/frames.schema.json")
    async def schema() -> dict[str, Any]:
        """The JSON Schema of every frame on /live."""
        return await asyncio.to_thread(frames.frames_schema)


def _add_live(app: FastAPI, daemon: Daemon) -> None:
    @app.websocket("/live")
    async def live(socket: WebSocket) -> None:
        query, session = socket.query_params, session_of(socket)
        topic = Topic(seat=query.get("seat"), wall="wall" in query, desk="desk" in query)
        if session is None or not session.grant.may_watch(topic.seat, wall=topic.wall, desk=topic.desk):
            await socket.send_denial_response(refusal())
        else:
            await talk(socket, daemon, topic, session)
