"""The routes of the tunes that a player works on, and when each is performed."""

import asyncio
from datetime import date
from typing import Annotated

from fastapi import Body, FastAPI, Query
from pydantic import Field
from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.history.repertoire import leave, work_on, worked_on
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId

TuneName = Annotated[str, Query(alias="tune", max_length=200, description="A tune's key.")]


class RepertoireRequest(AtSeat):
    """The body of ``POST /api/repertoire``."""

    tune: str = Field(description="A tune's key, as listed by GET /api/tunes.", max_length=200)
    performance: str | None = Field(None, description="When it is performed, such as 2026-12-31.", max_length=20)


class WorkedOnShown(TypedDict):
    """One tune that a player works on."""

    tune: str
    performance: str | None


def add_repertoire_routes(app: FastAPI, daemon: Daemon, shelf: Shelf) -> None:
    """Add them."""
    store = daemon.history.store

    def shown(player: int) -> list[WorkedOnShown]:
        with store.reading() as connection:
            found = worked_on(connection, player)
        return [
            WorkedOnShown(tune=one.tune, performance=None if one.performance is None else one.performance.isoformat())
            for one in found
        ]

    @app.get("/api/repertoire")
    async def repertoire(seat_id: SeatId = None) -> list[WorkedOnShown]:
        """The tunes that the player at a seat works on."""
        return await asyncio.to_thread(shown, daemon.seat(seat_id).player.number)

    @app.post("/api/repertoire")
    async def work(request: Annotated[RepertoireRequest, Body()]) -> list[WorkedOnShown]:
        """Work on a tune, or change when it is performed."""
        player, day = daemon.seat(request.seat).player.number, _day(request.performance)

        def act() -> list[WorkedOnShown]:
            shelf.find(request.tune)
            work_on(store, player, request.tune, day)
            return shown(player)

        return await asyncio.to_thread(act)

    @app.delete("/api/repertoire")
    async def stop(tune: TuneName, seat_id: SeatId = None) -> list[WorkedOnShown]:
        """Work on a tune no longer."""
        player = daemon.seat(seat_id).player.number

        def act() -> list[WorkedOnShown]:
            leave(store, player, tune)
            return shown(player)

        return await asyncio.to_thread(act)


def _day(words: str | None) -> date | None:
    try:
        return None if words is None else date.fromisoformat(words)
    except ValueError as error:
        raise ChanterdError(f"'performance' is '{words}'; write the day as in 2026-12-31.") from error
