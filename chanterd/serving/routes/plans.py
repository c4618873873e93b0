"""The routes of plans: list, make, change and delete them; start one, pause, go on, skip and stop."""

import asyncio
from typing import Annotated, Any

from fastapi import Body, FastAPI, Query
from pydantic import Field

from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.routes.body import Body as Sent
from chanterd.serving.wire import shapes
from chanterd.serving.wire.views import plan_view


class SessionRequest(AtSeat):
    """The body of ``POST /api/session``."""

    plan: str = Field(description="A plan's key, as listed by GET /api/plans.", max_length=200)


class PlanRequest(Sent):
    """The body of ``POST /api/plans``."""

    plan: dict[str, Any] = Field(description="'name', 'said', 'breaks' and 'part', as configs/plans explains them.")


class PlanChange(PlanRequest):
    """The body of ``PUT /api/plans/{key}``."""

    version: str = Field(description="The version that was read and is changed.", max_length=100)


def add_plan_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add the routes that make, change and delete plans to the application."""
    turn = asyncio.Lock()
    """One change at a time, since each looks at the files first."""

    @app.get("/api/plans/{key}")
    async def written(key: str) -> shapes.PlanWritten:
        """A plan as it is written, to be changed or copied."""
        found = await asyncio.to_thread(daemon.shelf.written, key)
        return shapes.PlanWritten(key=found.key, own=found.own, version=found.version, plan=dict(found.table))

    @app.post("/api/plans")
    async def add(request: Annotated[PlanRequest, Body()]) -> shapes.PlanShown:
        """Make a plan: a file in the data folder, named after it."""
        async with turn:
            return plan_view(await asyncio.to_thread(daemon.shelf.add, request.plan))

    @app.put("/api/plans/{key}")
    async def change(key: str, request: Annotated[PlanChange, Body()]) -> shapes.PlanShown:
        """Change a plan of the data folder."""
        async with turn:
            return plan_view(await asyncio.to_thread(daemon.shelf.change, key, request.plan, request.version))

    @app.delete("/api/plans/{key}", status_code=204)
    async def delete(key: str, version: Annotated[str, Query(max_length=100)]) -> None:
        """Delete a plan of the data folder for good."""
        async with turn:
            await asyncio.to_thread(daemon.shelf.delete, key, version)


def add_session_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them to the application."""

    @app.get("/api/plans")
    async def plans() -> list[shapes.PlanShown]:
        """Every plan; one of your own that cannot be used now says why."""
        return [plan_view(plan) for plan in await asyncio.to_thread(daemon.shelf.listed)]

    @app.post("/api/session")
    async def begin(request: Annotated[SessionRequest, Body()]) -> shapes.SessionShown:
        """Start a plan."""
        plan = await asyncio.to_thread(daemon.shelf.usable, request.plan)
        return daemon.begin_plan(request.seat, plan).shown

    @app.post("/api/session/pause")
    async def pause(seat_id: SeatId = None) -> shapes.SessionShown:
        """Pause the plan."""
        planned = daemon.planned(seat_id)
        planned.pause()
        return planned.shown

    @app.post("/api/session/go-on")
    async def go_on(seat_id: SeatId = None) -> shapes.SessionShown:
        """Go on with the plan."""
        planned = daemon.planned(seat_id)
        planned.go_on()
        return planned.shown

    @app.post("/api/session/skip")
    async def skip(seat_id: SeatId = None) -> shapes.SessionShown:
        """Skip the rest of the part or the break."""
        planned = daemon.planned(seat_id)
        planned.skip()
        return planned.shown

    @app.delete("/api/session")
    async def stop(seat_id: SeatId = None) -> shapes.SessionShown:
        """Stop the plan."""
        planned = daemon.planned(seat_id)
        planned.stop()
        return planned.shown
