"""The routes of plans: list them, start one, pause, go on, skip and stop."""

from typing import Annotated

from fastapi import Body, FastAPI
from pydantic import Field

from chanterd.practice.plans.plan import find_plan
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.wire import shapes
from chanterd.serving.wire.views import plan_view


class SessionRequest(AtSeat):
    """The body of ``POST /api/session``."""

    plan: str = Field(description="A plan's key, as listed by GET /api/plans.", max_length=200)


def add_session_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them to the application."""

    @app.get("/api/plans")
    async def plans() -> list[shapes.PlanShown]:
        """Every plan."""
        return [plan_view(plan) for plan in daemon.tables.plans.values()]

    @app.post("/api/session")
    async def begin(request: Annotated[SessionRequest, Body()]) -> shapes.SessionShown:
        """Start a plan."""
        return daemon.begin_plan(request.seat, find_plan(request.plan, daemon.tables.plans)).shown

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
