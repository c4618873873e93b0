"""The routes of a class: to start all seats on one click, stop them, hold the wall, and have one seat play alone."""

from typing import Annotated

from fastapi import Body, FastAPI
from pydantic import BaseModel, Field

from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.units import Bpm
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.practice.ladder.class_ladder import ClassRule
from chanterd.practice.ladder.rule import LARGEST_RAISE, LONGEST_ROW, SMALLEST_RAISE
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes import body
from chanterd.serving.seats.arrangement import FARTHEST_M
from chanterd.serving.wire import shapes
from chanterd.serving.wire.drill import DrillShown
from chanterd.serving.wire.grid import GridShown
from chanterd.serving.wire.klass import ClassShown
from chanterd.serving.wire.wall import Names, WallFrame


class ClassLadder(body.Body):
    """A tempo ladder for a class; tempi are clicks a minute."""

    raise_bpm: float = Field(4.0, ge=SMALLEST_RAISE, le=LARGEST_RAISE, description="From one notch to the next.")
    top_bpm: float = Field(ge=SLOWEST_BPM, le=FASTEST_BPM, description="Never faster than this.")
    in_a_row: int = Field(3, ge=1, le=LONGEST_ROW, description="Clean reps in a row that a player needs.")
    share: float = Field(0.75, ge=0.01, le=1, description="How many of those who play need them; 1: all.")


class ClassRequest(body.Body):
    """The body of ``POST /api/class``."""

    drill: str = Field(description="In the trade's words, such as 'grip from B to C'.", max_length=200)
    click_bpm: float = Field(description="Clicks a minute, 20 to 300.")
    layout: str | None = Field(None, description="How a rep fits the clicks.", max_length=200)
    standard: str | None = Field(None, description="By which standard all are judged.", max_length=200)
    ladder: ClassLadder | None = Field(None, description="Up a notch when enough players have their row; null: never.")


class FreezeRequest(body.Body):
    """The body of ``POST /api/class/freeze``."""

    frozen: bool = Field(description="True holds the wall as it is; false shows the newest rep again.")


class AloneRequest(body.Body):
    """The body of ``POST /api/class/alone``."""

    seat: str | None = Field(None, description="The seat that plays alone; null: everybody plays.", max_length=20)


class SpotlightRequest(body.Body):
    """The body of ``POST /api/class/spotlight``."""

    seat: str | None = Field(None, description="The seat that has the whole wall; null: all have.", max_length=20)


class ReplayRequest(body.Body):
    """The body of ``POST /api/class/replay``."""

    seat: str | None = Field(None, description="The seat whose last rep is shown again; null ends that.", max_length=20)
    factor: float = Field(2.0, ge=1, le=8, description="How many times as slow; 2 is half speed.")


class SoundRequest(body.Body):
    """The body of ``POST /api/class/sound``."""

    sound: str = Field(description="'desk', 'wall', 'nowhere', or a seat, whose page has the click.", max_length=20)


class MeasureRequest(body.Body):
    """The body of ``POST /api/class/measure``."""

    seat: str | None = Field(None, description="The seat that answers the click; null: all at once.", max_length=20)


class PlaceRequest(body.Body):
    """The body of ``POST /api/class/place``."""

    seat: str = Field(description="The seat.", max_length=20)
    distance_m: float = Field(ge=0, le=FARTHEST_M, description="From the loudspeaker, in metres.")


class WallRequest(body.Body):
    """The body of ``POST /api/wall``."""

    picture_m: float | None = Field(None, ge=0.3, le=20, description="How wide the picture is, in metres.")
    distance_m: float | None = Field(None, ge=0.5, le=50, description="How far away the last row sits, in metres.")
    names: Names | None = Field(None, description="What a seat is called on the wall.")


BODIES = (
    ClassRequest,
    ClassLadder,
    FreezeRequest,
    AloneRequest,
    SpotlightRequest,
    ReplayRequest,
    SoundRequest,
    MeasureRequest,
    PlaceRequest,
    WallRequest,
)
"""All bodies, whose fields a refusal may name."""


class ClassBegun(BaseModel):
    """What a class plays, and on which click."""

    grid: GridShown
    asked: DrillShown


def add_class_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    room = daemon.classroom

    @app.post("/api/class")
    async def begin(request: Annotated[ClassRequest, Body()]) -> ClassBegun:
        """Start all seats on one click."""
        words = ExerciseWords(
            drill=request.drill, click_bpm=request.click_bpm, layout=request.layout, standard=request.standard
        )
        ladder = request.ladder
        rule = None if ladder is None else ClassRule(**{**ladder.model_dump(), "top_bpm": Bpm(ladder.top_bpm)})
        shown = room.begin(resolve(words, daemon.tables), rule)
        return ClassBegun(grid=shown["grid"], asked=shown["asked"])

    @app.get("/api/class")
    async def shown() -> ClassShown:
        """The class under way, or the last one, as the desk shows it."""
        return room.shown()

    @app.delete("/api/class")
    async def stop() -> WallFrame:
        """Stop all seats."""
        room.stop()
        return room.wall()

    @app.post("/api/class/freeze")
    async def freeze(request: Annotated[FreezeRequest, Body()]) -> WallFrame:
        """Hold the wall as it is, or let it go on."""
        room.freeze(frozen=request.frozen)
        return room.wall()

    @app.post("/api/class/alone")
    async def alone(request: Annotated[AloneRequest, Body()]) -> WallFrame:
        """Have one seat play alone, or everybody again."""
        room.alone(request.seat)
        return room.wall()

    @app.post("/api/class/spotlight")
    async def light(request: Annotated[SpotlightRequest, Body()]) -> WallFrame:
        """Give one seat the whole wall, or all of them."""
        room.light(request.seat)
        return room.wall()

    @app.post("/api/class/replay")
    async def replay(request: Annotated[ReplayRequest, Body()]) -> WallFrame:
        """Show a seat's last rep again, slowly."""
        room.replay(request.seat, request.factor)
        return room.wall()

    @app.post("/api/class/sound")
    async def sound(request: Annotated[SoundRequest, Body()]) -> ClassShown:
        """Say at which one place the click sounds."""
        room.sound_at(request.sound)
        return room.shown()

    @app.post("/api/class/measure")
    async def measure(request: Annotated[MeasureRequest, Body()]) -> ClassShown:
        """Measure, with sixteen clicks, what is left between the room's loudspeaker and the note."""
        room.measure(request.seat)
        return room.shown()

    @app.post("/api/class/place")
    async def place(request: Annotated[PlaceRequest, Body()]) -> shapes.SeatShown:
        """Say how far a seat is from the loudspeaker."""
        room.place(request.seat, request.distance_m)
        daemon.tell_seats()
        return daemon.shown(daemon.seats[request.seat])

    @app.get("/api/wall")
    async def wall() -> WallFrame:
        """What the wall shows now."""
        return room.wall()

    @app.post("/api/wall")
    async def arrange(request: Annotated[WallRequest, Body()]) -> WallFrame:
        """Say how large the picture is and how far away it is read, and what names a seat on it."""
        room.arrange(request.picture_m, request.distance_m, request.names)
        return room.wall()
