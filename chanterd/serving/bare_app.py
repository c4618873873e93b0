"""An application without routes: how all of ours begin."""

from collections.abc import Iterable
from typing import Any

from fastapi import FastAPI

from chanterd.serving.errors import UNFIT, Said, add_refusals
from chanterd.serving.late_route import LateRoute


def bare_app(fields: Iterable[str] = (), **options: Any) -> FastAPI:  # noqa: ANN401 - as FastAPI takes them
    """The application; ``fields`` are the names of all fields that its routes read, ``options`` are FastAPI's own."""
    app = FastAPI(
        openapi_url=None,  # it would be made in the event loop
        responses={UNFIT: {"model": Said, "description": "Why it cannot be done, and what to do."}},
        **options,
    )
    app.router.route_class = LateRoute  # type: ignore[assignment]  # FastAPI only makes it and keeps it
    add_refusals(app, fields)
    return app
