"""Routes that are prepared when they are first asked for, so that nobody waits at the start for those they never use.

FastAPI works out at once, for each route, how its requests and answers are checked. For all of ours together that
takes a tenth of a second and several megabytes, and a page uses a few of them.
"""

import asyncio
from collections.abc import Callable
from functools import cached_property
from threading import Lock
from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi
from fastapi.routing import APIRoute
from starlette.routing import Route
from starlette.types import Receive, Scope, Send

_PREPARING = Lock()
"""One route at a time: the types that several share must not be worked out by two threads at once."""


class LateRoute(Route):
    """Knows its path and methods from the start; the rest is FastAPI's own route, made at the first request."""

    def __init__(self, path: str, endpoint: Callable[..., Any], **options: Any) -> None:  # noqa: ANN401 - as FastAPI passes them
        """As FastAPI's own."""
        super().__init__(path, endpoint, include_in_schema=options["include_in_schema"])
        self.methods = set(options["methods"])
        self._options = options

    @cached_property
    def whole(self) -> APIRoute:
        """The route with all that checks requests and answers; its summary is the endpoint's docstring."""
        with _PREPARING:
            route = APIRoute(self.path, self.endpoint, **self._options)
        route.summary, route.description = route.description.rstrip("."), ""
        return route

    async def handle(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request; the first one waits for the rest of the route, and nobody waits with it."""
        if scope["method"] not in (self.methods or ()):
            await super().handle(scope, receive, send)
            return
        if "whole" not in self.__dict__:
            await asyncio.to_thread(lambda: self.whole)
        await self.whole.handle(scope, receive, send)


def description_of(app: FastAPI) -> dict[str, Any]:
    """The OpenAPI description of the application's routes; takes half a second, so call it outside the event loop."""
    routes = [route.whole for route in app.routes if isinstance(route, LateRoute)]
    return get_openapi(title=app.title, version=app.version, description=app.description, routes=routes)
