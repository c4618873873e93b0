"""The web application: routes, the live socket, the page itself. State is held by the :class:`Daemon` it is given."""

import asyncio
import contextlib
import json
import math
from collections.abc import AsyncIterator, Awaitable, Callable
from typing import Annotated, Any

from fastapi import Body, FastAPI, Query, Request, WebSocket, WebSocketDisconnect
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from fastapi.staticfiles import StaticFiles
from pydantic import BaseModel, ConfigDict, Field

from chanterd import __version__
from chanterd.config import ChanterdError, bundled
from chanterd.serving import frames
from chanterd.serving.calibrating import Calibrating
from chanterd.serving.daemon import Daemon, Inputs
from chanterd.serving.guard import Guard
from chanterd.serving.learning import Teaching
from chanterd.serving.live import Viewer
from chanterd.serving.practising import Practising
from chanterd.trade.drill import ListedDrill

TICK_S = 0.02
"""How often time is let pass when nothing is heard."""

LONGEST_FRAME = 1000
"""Characters that a page may send in one frame; ours sends about 60."""


class Asking(BaseModel):
    """The body of a request about one player."""

    model_config = ConfigDict(extra="forbid")
    player: str | None = Field(None, description="Whose chanter; may be left out while there is only one.")


class PracticeAsked(Asking):
    """The body of ``POST /api/practice``."""

    drill: str = Field(description="In the trade's words, such as 'grip from B to C'.", max_length=200)
    click_bpm: float = Field(description="Clicks a minute, 20 to 300.")
    standard: str | None = Field(None, description="'learner', 'steady', 'competition' or one of your own.")


class InputAsked(Asking):
    """The body of ``POST /api/input``."""

    input: str = Field(description="'demo' or the name of a MIDI port, as listed by GET /api/inputs.", max_length=200)


class ProfileAsked(Asking):
    """The body of ``POST /api/chanter``."""

    profile: str = Field(description="The name of a chanter profile.", max_length=200)


Player = Annotated[str | None, Query(description="Whose chanter; may be left out while there is only one.")]


def make_app(daemon: Daemon, port: int) -> FastAPI:
    """The application, guarded for that port of this machine."""

    @contextlib.asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        daemon.start()
        ticking = asyncio.create_task(_tick(daemon))
        yield
        ticking.cancel()
        await daemon.stop()

    app = FastAPI(title="chanterd", version=__version__, lifespan=lifespan, docs_url=None, redoc_url=None)
    _add_errors(app)
    _add_routes(app, daemon)
    _add_live(app, daemon)
    app.mount("/", StaticFiles(directory=bundled("web"), html=True))
    app.add_middleware(Guard, port=port)
    return app


async def _tick(daemon: Daemon) -> None:
    while True:
        await asyncio.sleep(TICK_S)
        daemon.tick()


def _add_errors(app: FastAPI) -> None:
    @app.exception_handler(ChanterdError)
    async def _(_: Request, error: ChanterdError) -> JSONResponse:
        return JSONResponse({"said": str(error)}, 422)

    @app.exception_handler(RequestValidationError)
    async def _(_: Request, error: RequestValidationError) -> JSONResponse:
        return JSONResponse({"said": "\n".join(_say(one) for one in error.errors())}, 422)


def _say(error: dict[str, Any]) -> str:
    """One sentence about a field that could not be read."""
    if error["type"] == "json_invalid":
        return f'The request is not JSON ({error["ctx"]["error"]}); send an object such as {{"drill": "..."}}.'
    field = ".".join(str(part) for part in error["loc"][1:]) or "body"
    if error["type"] == "missing":
        return f"The field '{field}' is missing; add it."
    if error["type"] == "extra_forbidden":
        return f"The field '{field}' is not known here; leave it out, or check how it is spelled."
    return f"The field '{field}' is {str(error['input'])[:80]!r}: {error['msg'][:1].lower()}{error['msg'][1:]}."


def _add_routes(app: FastAPI, daemon: Daemon) -> None:
    @app.get("/api/state")
    async def state() -> frames.State:
        """All that a page needs to draw itself."""
        return daemon.state()

    @app.get("/api/drills")
    async def drills() -> list[ListedDrill]:
        """Every drill in the book."""
        return daemon.drills()

    @app.get("/api/inputs")
    async def inputs() -> Inputs:
        """What can be listened to now."""
        return await asyncio.to_thread(daemon.inputs)

    @app.post("/api/input")
    async def choose_input(asked: Annotated[InputAsked, Body()]) -> frames.Player:
        """Listen to another input."""
        seat = daemon.seat(asked.player)
        await seat.plug(daemon.open_listed(asked.input, seat))
        return seat.shown()

    @app.post("/api/chanter")
    async def choose_profile(asked: Annotated[ProfileAsked, Body()]) -> frames.Player:
        """Read the chanter by another profile."""
        seat = daemon.seat(asked.player)
        seat.choose_profile(asked.profile)
        return seat.shown()

    @app.post("/api/practice")
    async def practise(asked: Annotated[PracticeAsked, Body()]) -> frames.Practice:
        """Start a run after a count-in."""
        return daemon.practise(asked.player, asked.drill, asked.click_bpm, asked.standard)

    @app.delete("/api/practice")
    async def stop(player: Player = None) -> frames.Player:
        """Stop the run."""
        seat = daemon.seat(player)
        seat.end(Practising)
        return seat.shown()

    @app.post("/api/learning")
    async def learn(asked: Annotated[Asking, Body()]) -> frames.Player:
        """Learn the chanter from the scale."""
        seat = daemon.seat(asked.player)
        seat.learn()
        return seat.shown()

    @app.delete("/api/learning")
    async def stop_learning(player: Player = None) -> frames.Player:
        """Break learning off."""
        seat = daemon.seat(player)
        seat.end(Teaching)
        return seat.shown()

    @app.post("/api/calibration")
    async def calibrate(asked: Annotated[Asking, Body()]) -> frames.Player:
        """Measure what is left between the click and the note."""
        seat = daemon.seat(asked.player)
        seat.calibrate()
        return seat.shown()

    @app.delete("/api/calibration")
    async def stop_calibrating(player: Player = None) -> frames.Player:
        """Break the calibration off."""
        seat = daemon.seat(player)
        seat.end(Calibrating)
        return seat.shown()

    @app.get("/frames.schema.json")
    async def schema() -> dict[str, Any]:
        """The JSON Schema of every frame on /live."""
        return frames.frames_schema()


def _add_live(app: FastAPI, daemon: Daemon) -> None:
    @app.websocket("/live")
    async def live(socket: WebSocket) -> None:
        await socket.accept()
        viewer = Viewer(daemon.state)
        hello = frames.HelloFrame(kind="hello", clock_ns=daemon.clock(), state=daemon.state())
        viewer.put(json.dumps(hello), passing=False)
        daemon.hub.join(viewer)
        both = [asyncio.create_task(part) for part in (_send(socket, viewer), _receive(socket, daemon.clock))]
        try:
            await asyncio.wait(both, return_when=asyncio.FIRST_COMPLETED)
        finally:
            daemon.hub.leave(viewer)
            for task in both:
                task.cancel()
            await asyncio.gather(*both, return_exceptions=True)


async def _send(socket: WebSocket, viewer: Viewer) -> None:
    with contextlib.suppress(WebSocketDisconnect):
        while not viewer.too_far_behind:
            await socket.send_text(await viewer.next())
        await socket.close(1013, "too slow: connect again")


async def _receive(socket: WebSocket, clock: Callable[[], int]) -> None:
    with contextlib.suppress(WebSocketDisconnect):
        while True:
            text = await socket.receive_text()
            await _answer(text, clock(), clock, socket.send_text)


async def _answer(
    text: str, received_ns: int, clock: Callable[[], int], send: Callable[[str], Awaitable[None]]
) -> None:
    """Answer a page's frame: the two middle stamps of a clock exchange, or what was wrong with it."""
    try:
        asked = json.loads(text[:LONGEST_FRAME])
    except ValueError:
        asked = None
    sent = asked.get("sent") if isinstance(asked, dict) and asked.get("kind") == "clock" else None
    if not isinstance(sent, int | float) or not math.isfinite(sent):
        said = f'The frame {text[:80]!r} is not understood; send {{"kind": "clock", "sent": <a number of ms>}}.'
        await send(json.dumps(frames.ErrorFrame(kind="error", said=said)))
        return
    frame = frames.ClockFrame(kind="clock", sent=sent, received_ns=received_ns, replied_ns=clock())
    await send(json.dumps(frame))
