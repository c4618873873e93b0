"""The routes of the chanter: which input and profile a seat uses, learning a chanter, and calibrating."""

import asyncio
from typing import Annotated

from fastapi import Body, FastAPI
from pydantic import Field

from chanterd.serving.daemon import Daemon, Inputs
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.seats.calibrating import Calibrating
from chanterd.serving.seats.learning import Teaching
from chanterd.serving.wire import shapes


class InputRequest(AtSeat):
    """The body of ``POST /api/input``."""

    input: str = Field(description="'demo' or the name of a MIDI port, as listed by GET /api/inputs.", max_length=200)


class ProfileRequest(AtSeat):
    """The body of ``POST /api/chanter``."""

    profile: str = Field(description="The name of a chanter profile.", max_length=200)


def add_chanter_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them to the application."""

    @app.get("/api/inputs")
    async def inputs() -> Inputs:
        """The inputs that a seat can listen to now."""
        return await asyncio.to_thread(daemon.inputs)

    @app.post("/api/input")
    async def choose_input(request: Annotated[InputRequest, Body()]) -> shapes.SeatShown:
        """Listen to another input."""
        return (await daemon.choose_input(request.seat, request.input)).shown()

    @app.post("/api/chanter")
    async def choose_profile(request: Annotated[ProfileRequest, Body()]) -> shapes.SeatShown:
        """Use another profile for the chanter."""
        seat = daemon.seat(request.seat)
        seat.choose_profile(request.profile)
        return seat.shown()

    @app.post("/api/learning")
    async def learn(request: Annotated[AtSeat, Body()]) -> shapes.SeatShown:
        """Learn the chanter from its scale."""
        seat = daemon.seat(request.seat)
        seat.learn()
        return seat.shown()

    @app.delete("/api/learning")
    async def stop_learning(seat_id: SeatId = None) -> shapes.SeatShown:
        """Cancel learning."""
        seat = daemon.seat(seat_id)
        seat.end(Teaching)
        return seat.shown()

    @app.post("/api/calibration")
    async def calibrate(request: Annotated[AtSeat, Body()]) -> shapes.SeatShown:
        """Measure the delay between the click and the note."""
        seat = daemon.seat(request.seat)
        seat.calibrate()
        return seat.shown()

    @app.delete("/api/calibration")
    async def stop_calibrating(seat_id: SeatId = None) -> shapes.SeatShown:
        """Cancel the calibration."""
        seat = daemon.seat(seat_id)
        seat.end(Calibrating)
        return seat.shown()
