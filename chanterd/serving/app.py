"""The web application: routes, the live socket, the page itself. State is held by the :class:`Daemon` it is given."""

import asyncio
import contextlib
from collections.abc import AsyncIterator
from typing import Annotated, Any

from fastapi import Body, FastAPI, Response, WebSocket
from fastapi.routing import APIRoute
from fastapi.staticfiles import StaticFiles
from pydantic import Field
from starlette.types import ASGIApp

from chanterd import __version__
from chanterd.config import bundled
from chanterd.engraving.workshop import Workshop
from chanterd.music.drill import ListedDrill
from chanterd.practice.exercise import ExerciseWords
from chanterd.serving.bounds import Bounds
from chanterd.serving.daemon import Daemon, Inputs
from chanterd.serving.errors import UNFIT, Said, add_refusals
from chanterd.serving.guard import Guard
from chanterd.serving.routes.body import Asking, SeatId
from chanterd.serving.routes.book import add_book_routes
from chanterd.serving.routes.history import add_history_routes
from chanterd.serving.routes.plans import SessionAsked, add_session_routes
from chanterd.serving.routes.players import Named, SeatAsked, add_player_routes
from chanterd.serving.routes.progress import add_progress_routes
from chanterd.serving.routes.proposal import Refused, add_proposal_routes
from chanterd.serving.routes.sheet import SheetAsked, add_sheet_routes
from chanterd.serving.seats.calibrating import Calibrating
from chanterd.serving.seats.learning import Teaching
from chanterd.serving.seats.practising import Practising
from chanterd.serving.status import NS_PER_S, Status
from chanterd.serving.wire import frames, shapes
from chanterd.serving.wire.connection import talk

TICK_S = 0.02
"""How often time is let pass when nothing is heard."""

DESCRIPTION = (
    "What is played on the chanter comes as JSON text frames over the WebSocket at /live; /frames.schema.json "
    "describes them. These routes start and stop things and tell the state."
)


class PracticeAsked(Asking):
    """The body of ``POST /api/practice``."""

    drill: str = Field(description="In the trade's words, such as 'grip from B to C'.", max_length=200)
    click_bpm: float = Field(description="Clicks a minute, 20 to 300.")
    standard: str | None = Field(None, description="'learner', 'steady', 'competition' or one of your own.")
    spread: float | None = Field(None, description="The share of a click that a held step takes, 0.01 to 0.3.")
    layout: str | None = Field(None, description="How a rep lies on the clicks: 'two clicks', 'every click', ...")
    ladder: dict[str, Any] | None = Field(
        None,
        description="The rule of a tempo ladder, as in the state's 'ladder'; its first_bpm may be left out.",
    )
    feedback: str | None = Field(None, description="When a rep is told: 'every rep', 'after five', 'say first', ...")
    click_off: bool = Field(default=False, description="The click stops with the count-in.")


class GuessAsked(Asking):
    """The body of ``POST /api/guess``."""

    rep: int = Field(description="The rep that is asked about, from 0.")
    guess: str = Field(description="'early', 'on' (on the beat) or 'late'.", max_length=20)


class InputAsked(Asking):
    """The body of ``POST /api/input``."""

    input: str = Field(description="'demo' or the name of a MIDI port, as listed by GET /api/inputs.", max_length=200)


class ProfileAsked(Asking):
    """The body of ``POST /api/chanter``."""

    profile: str = Field(description="The name of a chanter profile.", max_length=200)


BODIES = (PracticeAsked, GuessAsked, InputAsked, ProfileAsked, SessionAsked, Named, SeatAsked, Refused, SheetAsked)
FIELDS = tuple({field for body in BODIES for field in body.model_fields})


def make_app(daemon: Daemon, port: int) -> ASGIApp:
    """The application, guarded for that port of this machine."""

    def make_ready() -> None:
        """Make what takes long while nobody plays yet, so that whoever asks for it later holds nobody up."""
        _ = daemon.drills_json, app.openapi()

    @contextlib.asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        daemon.start()
        tasks = [asyncio.create_task(_tick(daemon)), asyncio.create_task(asyncio.to_thread(make_ready))]
        try:
            yield
        finally:
            for task in tasks:
                task.cancel()
            await daemon.stop()
            await asyncio.to_thread(workshop.close)

    workshop = Workshop(daemon.tables.book)
    app = FastAPI(
        title="chanterd",
        description=DESCRIPTION,
        version=__version__,
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        responses={UNFIT: {"model": Said, "description": "It cannot be done, and why."}},
    )
    add_refusals(app, FIELDS)
    _add_routes(app, daemon)
    add_session_routes(app, daemon)
    add_book_routes(app, daemon.tables, workshop)
    add_sheet_routes(app, workshop)
    add_player_routes(app, daemon)
    add_history_routes(app, daemon)
    add_progress_routes(app, daemon)
    add_proposal_routes(app, daemon)
    _name_operations(app)
    _add_live(app, daemon)
    app.mount("/", StaticFiles(directory=bundled("web"), html=True))
    return Guard(Bounds(app), port)


async def _tick(daemon: Daemon) -> None:
    while True:
        due_ns = daemon.clock() + round(TICK_S * NS_PER_S)
        await asyncio.sleep(TICK_S)
        daemon.health.woke(daemon.clock() - due_ns)
        daemon.tick()


def _name_operations(app: FastAPI) -> None:
    """Call each operation by what its docstring says."""
    for route in app.routes:
        if isinstance(route, APIRoute):
            route.summary, route.description = route.description.rstrip("."), ""


def _add_routes(app: FastAPI, daemon: Daemon) -> None:
    @app.get("/api/state")
    async def state() -> shapes.StateShown:
        """All that a page needs to draw itself."""
        return daemon.state()

    @app.get("/api/status")
    async def status() -> Status:
        """How the daemon is."""
        return daemon.status()

    @app.get("/api/drills", response_model=list[ListedDrill])
    async def drills() -> Response:
        """Every drill in the book."""
        return Response(await asyncio.to_thread(lambda: daemon.drills_json), media_type="application/json")

    @app.get("/api/inputs")
    async def inputs() -> Inputs:
        """What can be listened to now."""
        return await asyncio.to_thread(daemon.inputs)

    @app.post("/api/input")
    async def choose_input(asked: Annotated[InputAsked, Body()]) -> shapes.SeatShown:
        """Listen to another input."""
        return (await daemon.choose_input(asked.seat, asked.input)).shown()

    @app.post("/api/chanter")
    async def choose_profile(asked: Annotated[ProfileAsked, Body()]) -> shapes.SeatShown:
        """Read the chanter by another profile."""
        seat = daemon.seat(asked.seat)
        seat.choose_profile(asked.profile)
        return seat.shown()

    @app.post("/api/practice")
    async def practise(asked: Annotated[PracticeAsked, Body()]) -> shapes.PracticeShown:
        """Start a run after a count-in."""
        return daemon.practise(asked.seat, ExerciseWords(**asked.model_dump(exclude={"seat"})))

    @app.delete("/api/practice")
    async def stop(seat_id: SeatId = None) -> shapes.SeatShown:
        """Stop the run."""
        seat = daemon.seat(seat_id)
        seat.end(Practising)
        return seat.shown()

    @app.post("/api/guess")
    async def guess(asked: Annotated[GuessAsked, Body()]) -> shapes.SeatShown:
        """Say whether a rep was early, on the beat or late, before it is told."""
        seat = daemon.seat(asked.seat)
        seat.guess(asked.rep, asked.guess)
        return seat.shown()

    @app.post("/api/learning")
    async def learn(asked: Annotated[Asking, Body()]) -> shapes.SeatShown:
        """Learn the chanter from the scale."""
        seat = daemon.seat(asked.seat)
        seat.learn()
        return seat.shown()

    @app.delete("/api/learning")
    async def stop_learning(seat_id: SeatId = None) -> shapes.SeatShown:
        """Break learning off."""
        seat = daemon.seat(seat_id)
        seat.end(Teaching)
        return seat.shown()

    @app.post("/api/calibration")
    async def calibrate(asked: Annotated[Asking, Body()]) -> shapes.SeatShown:
        """Measure what is left between the click and the note."""
        seat = daemon.seat(asked.seat)
        seat.calibrate()
        return seat.shown()

    @app.delete("/api/calibration")
    async def stop_calibrating(seat_id: SeatId = None) -> shapes.SeatShown:
        """Break the calibration off."""
        seat = daemon.seat(seat_id)
        seat.end(Calibrating)
        return seat.shown()

    @app.get("/frames.schema.json")
    async def schema() -> dict[str, Any]:
        """The JSON Schema of every frame on /live."""
        return await asyncio.to_thread(frames.frames_schema)


def _add_live(app: FastAPI, daemon: Daemon) -> None:
    @app.websocket("/live")
    async def live(socket: WebSocket) -> None:
        await talk(socket, daemon)
