"""The routes of seats: adding one for a chanter that was plugged in, and taking one away."""

from typing import Annotated

from fastapi import Body, FastAPI, Path
from pydantic import Field

from chanterd.serving.daemon import Daemon
from chanterd.serving.routes import body
from chanterd.serving.wire import shapes


class NewSeatRequest(body.Body):
    """The body of ``POST /api/seats``."""

    input: str = Field(
        description="'demo' or the name of a MIDI port, as the state's 'offers' list it.", max_length=200
    )
    name: str | None = Field(
        None, description="The player who sits there; null: whoever sat there last.", max_length=200
    )


def add_seat_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""

    @app.post("/api/seats")
    async def add(request: Annotated[NewSeatRequest, Body()]) -> shapes.SeatShown:
        """Add a seat that listens to an input."""
        return daemon.shown(await daemon.add_seat(request.input, request.name))

    @app.delete("/api/seats/{seat}")
    async def remove(seat: Annotated[str, Path(max_length=20)]) -> list[shapes.SeatShown]:
        """Take a seat away; what its player played is kept."""
        await daemon.room.remove(seat)
        return [daemon.shown(one) for one in daemon.seats.values()]
