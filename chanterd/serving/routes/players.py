"""Routes about the players: who there are, who sits where, names, and deleting for good."""

from typing import Annotated

from fastapi import Body, FastAPI
from pydantic import Field

from chanterd.history.players import PlayerSeen
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes import body
from chanterd.serving.wire import shapes


class NameRequest(body.Body):
    """The body of ``POST /api/players`` and ``POST /api/players/{number}``."""

    name: str = Field(description="What to call the player, 1 to 40 letters.", max_length=200)


class SeatRequest(body.AtSeat):
    """The body of ``POST /api/seat``."""

    player: body.PlayerNumber = Field(
        description="The number of the player who sits down, as GET /api/players lists it."
    )


def add_player_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    roster = daemon.roster

    @app.get("/api/players")
    async def players() -> list[PlayerSeen]:
        """Every player."""
        return await roster.all()

    @app.post("/api/players")
    async def create(request: Annotated[NameRequest, Body()]) -> shapes.PlayerShown:
        """Add a player."""
        player = await roster.create(request.name)
        return shapes.PlayerShown(number=player.number, name=player.name)

    @app.post("/api/players/{number}")
    async def rename(number: body.Number, request: Annotated[NameRequest, Body()]) -> shapes.PlayerShown:
        """Rename a player."""
        player = await roster.rename(number, request.name)
        return shapes.PlayerShown(number=player.number, name=player.name)

    @app.delete("/api/players/{number}")
    async def delete(number: body.Number) -> None:
        """Delete a player and everything they played, for good."""
        await roster.delete(number)

    @app.post("/api/seat")
    async def choose(request: Annotated[SeatRequest, Body()]) -> shapes.SeatShown:
        """Seat a player at a chanter."""
        seat = daemon.seat(request.seat)
        await roster.choose(seat, request.player)
        return seat.shown()
