"""The routes of a class: to start all seats on one click, stop them, hold the wall, and have one seat play alone."""

from typing import Annotated

from fastapi import Body, FastAPI
from pydantic import BaseModel, Field

from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes import body
from chanterd.serving.wire.shapes import DrillShown, GridShown
from chanterd.serving.wire.wall import Names, WallFrame


class ClassRequest(body.Body):
    """The body of ``POST /api/class``."""

    drill: str = Field(description="In the trade's words, such as 'grip from B to C'.", max_length=200)
    click_bpm: float = Field(description="Clicks a minute, 20 to 300.")
    layout: str | None = Field(None, description="How a rep fits the clicks.", max_length=200)
    standard: str | None = Field(None, description="By which standard all are judged.", max_length=200)


class FreezeRequest(body.Body):
    """The body of ``POST /api/class/freeze``."""

    frozen: bool = Field(description="True holds the wall as it is; false shows the newest rep again.")


class AloneRequest(body.Body):
    """The body of ``POST /api/class/alone``."""

    seat: str | None = Field(None, description="The seat that plays alone; null: everybody plays.", max_length=20)


class WallRequest(body.Body):
    """The body of ``POST /api/wall``."""

    picture_m: float | None = Field(None, ge=0.3, le=20, description="How wide the picture is, in metres.")
    distance_m: float | None = Field(None, ge=0.5, le=50, description="How far away the last row sits, in metres.")
    names: Names | None = Field(None, description="What a seat is called on the wall.")


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
        shown = room.begin(resolve(words, daemon.tables))
        return ClassBegun(grid=shown["grid"], asked=shown["asked"])

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

    @app.get("/api/wall")
    async def wall() -> WallFrame:
        """What the wall shows now."""
        return room.wall()

    @app.post("/api/wall")
    async def arrange(request: Annotated[WallRequest, Body()]) -> WallFrame:
        """Say how large the picture is and how far away it is read, and what names a seat on it."""
        room.board.arrange(request.picture_m, request.distance_m, request.names)
        return room.wall()
