"""Routes about the players: who there are, who sits where, names, and deleting for good."""

from typing import Annotated

from fastapi import Body, FastAPI
from pydantic import Field

from chanterd.history.players import PlayerSeen
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes import body as asking
from chanterd.serving.wire import shapes


class Named(asking.Body):
    """The body of ``POST /api/players`` and ``POST /api/players/{number}``."""

    name: str = Field(description="What to call the player, 1 to 40 letters.", max_length=200)


class SeatAsked(asking.Asking):
    """The body of ``POST /api/seat``."""

    player: asking.PlayerNumber = Field(description="The number of whoever sits down, as listed by GET /api/players.")


def add_player_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    roster = daemon.roster

    @app.get("/api/players")
    async def players() -> list[PlayerSeen]:
        """Everybody who practises here."""
        return await roster.all()

    @app.post("/api/players")
    async def create(asked: Annotated[Named, Body()]) -> shapes.PlayerShown:
        """Add a player."""
        player = await roster.create(asked.name)
        return shapes.PlayerShown(number=player.number, name=player.name)

    @app.post("/api/players/{number}")
    async def rename(number: asking.Number, asked: Annotated[Named, Body()]) -> shapes.PlayerShown:
        """Give a player another name."""
        player = await roster.rename(number, asked.name)
        return shapes.PlayerShown(number=player.number, name=player.name)

    @app.delete("/api/players/{number}")
    async def delete(number: asking.Number) -> None:
        """Delete a player and all that is theirs, for good."""
        await roster.delete(number)

    @app.post("/api/seat")
    async def choose(asked: Annotated[SeatAsked, Body()]) -> shapes.SeatShown:
        """Have a player sit down at a chanter."""
        seat = daemon.seat(asked.seat)
        await roster.choose(seat, asked.player)
        return seat.shown()
