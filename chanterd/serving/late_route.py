"""Routes that are prepared when they are first asked for, so that nobody waits at the start for those they never use.

FastAPI works out at once, for each route, how its requests and answers are checked. For all of ours together that
takes a tenth of a second and several megabytes, and a page uses a few of them.
"""

import asyncio
from collections.abc import Callable, Sequence
from threading import RLock
from typing import Any, get_type_hints

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute
from starlette.responses import Response
from starlette.routing import BaseRoute, Match, Route
from starlette.types import Receive, Scope, Send

_PREPARING = RLock()
"""One thing at a time: the types that several routes share must not be worked out by two threads at once."""


class LateRoute(Route):
    """Knows its path and methods from the start; the rest is FastAPI's own route, made at the first request."""

    def __init__(self, path: str, endpoint: Callable[..., Any], **options: Any) -> None:  # noqa: ANN401 - as FastAPI passes them
        """As FastAPI's own."""
        super().__init__(path, endpoint, include_in_schema=options["include_in_schema"])
        self.methods = set(options["methods"])
        self._options = options
        self._whole: APIRoute | None = None

    def prepare(self) -> APIRoute:
        """The route with all that checks requests, and answers unless the endpoint writes them itself."""
        with _PREPARING:
            if self._whole is None:
                itself = {"response_model": None} if get_type_hints(self.endpoint).get("return") is Response else {}
                self._whole = self._make(**itself, responses=None)
            return self._whole

    def described(self) -> APIRoute:
        """The route with all that describes it; its summary is the endpoint's docstring."""
        with _PREPARING:
            route = self._make()
        route.summary, route.description = route.description.rstrip("."), ""
        return route

    def _make(self, **options: Any) -> APIRoute:  # noqa: ANN401 - as above
        return APIRoute(self.path, self.endpoint, **{**self._options, **options})

    async def handle(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request; the first one waits for the rest of the route, and nobody waits with it."""
        if scope["method"] not in (self.methods or ()):
            await super().handle(scope, receive, send)
            return
        whole = self._whole
        if whole is None:
            whole = await asyncio.to_thread(self.prepare)
        await whole.handle(scope, receive, send)


class LateRoutes(BaseRoute):
    """All routes below a path, in an application that is put together, its modules loaded, at the first request."""

    def __init__(self, path: str, make: Callable[[], FastAPI], others: Sequence[BaseRoute]) -> None:
        """``others`` are routes outside it; what one of them knows is theirs, below the path too."""
        self._path = path
        self._make = make
        self._others = others
        self._app: FastAPI | None = None

    def load(self) -> FastAPI:
        """The application; takes a tenth of a second to make, so call it outside the event loop."""
        with _PREPARING:
            if self._app is None:
                self._app = self._make()
            return self._app

    def matches(self, scope: Scope) -> tuple[Match, Scope]:
        """Whether the request is for one of them; see Starlette."""
        if scope["type"] != "http" or not scope["path"].startswith(self._path):
            return Match.NONE, {}
        if any(other.matches(scope)[0] is not Match.NONE for other in self._others):
            return Match.NONE, {}
        return Match.FULL, {}

    async def handle(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request; the first one waits for the application, and nobody waits with it."""
        app = self._app
        if app is None:
            app = await asyncio.to_thread(self.load)
        await app(scope, receive, send)


def prepare(app: FastAPI, path: str) -> None:
    """Prepare the routes with that path already."""
    for route in app.routes:
        if isinstance(route, LateRoute) and route.path == path:
            route.prepare()


def described_routes(routes: Sequence[BaseRoute], *, title: str, description: str, version: str) -> dict[str, Any]:
    """The OpenAPI description of the routes; takes half a second, so call it outside the event loop."""
    return get_openapi(
        title=title,
        description=description,
        version=version,
        routes=[route.described() for route in routes if isinstance(route, LateRoute)],
    )
