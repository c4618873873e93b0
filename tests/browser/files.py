"""The page's files from memory, with the daemon's headers: a page is some hundred of them, and opened in every test."""

import mimetypes
from functools import cache

from starlette.datastructures import MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from chanterd.config import bundled

mimetypes.add_type("text/javascript", ".js")
NOT_FOUND = 404


@cache
def file(path: str) -> Response:
    """The answer for a path below ``web/``; read once, since nothing changes it while tests run."""
    found = bundled("web") / path.strip("/")
    if found.is_dir():
        found /= "index.html"
    if not found.is_file():
        raise HTTPException(NOT_FOUND)
    return Response(found.read_bytes(), media_type=mimetypes.guess_type(found.name)[0])


async def files(scope: Scope, receive: Receive, send: Send) -> None:
    """Serve them."""
    if scope["type"] != "http":
        raise HTTPException(NOT_FOUND)
    await file(scope["path"])(scope, receive, send)


class WithHeaders:
    """ASGI middleware that sets headers of every answer over HTTP."""

    def __init__(self, app: ASGIApp, headers: dict[str, str]) -> None:
        self._app = app
        self._headers = headers

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on."""

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(self._headers)
            await send(message)

        await self._app(scope, receive, sending)
