"""How much a request may send: a limit on bodies, checked before anything is parsed or stored.

The event loop that reads a body also passes notes on, and a megabyte of JSON with unknown fields would hold it up for
seconds. A body over the limit gets the answer 413 (RFC 9110), and the rest of it is thrown away.
"""

from contextlib import suppress

from starlette.datastructures import Headers
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BODY = 8_192
"""Bytes; the longest of our page's, a tempo ladder, has under 1 kB."""
LONG_BODIES = {
    "/api/sheet": 131_072,
    "/api/sheet/progress": 131_072,
    "/api/tunes": 5_000_000,
    "/api/listen": 4_000_000,
    "/api/listen/keep": 4_000_000,
}
"""Bytes by path: a sheet names its drills, 2000 at most; a file of tunes or a take is as long as its reader allows."""
PLANS, LONGEST_PLAN = "/api/plans", 131_072
"""Bytes of a plan at any path that begins so: it has 100 parts at most, each under 1 kB."""
TOO_LARGE = 413


class BodyTooLargeError(Exception):
    """A body is larger than the limit."""


class Bounds:
    """ASGI middleware: refuses bodies that are too long, whether their header says so or they arrive in chunks."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        most = LONGEST_PLAN if scope["path"].startswith(PLANS) else LONG_BODIES.get(scope["path"], MOST_BODY)
        refusal = JSONResponse(
            {"said": f"The body of {scope['method']} '{scope['path']}' is over {most} bytes; send less."}, TOO_LARGE
        )
        announced = Headers(scope=scope).get("content-length", "0")
        if not announced.isdecimal() or int(announced) > most:  # the server has already checked that it is a number
            await refusal(scope, receive, send)
            return
        read = 0
        begun = False

        async def counted() -> Message:
            nonlocal read
            message = await receive()
            read += len(message.get("body", b""))
            if read > most:
                raise BodyTooLargeError
            return message

        async def noted(message: Message) -> None:
            nonlocal begun
            if read <= most:
                begun = True
                await send(message)

        with suppress(BodyTooLargeError):
            await self._app(scope, counted, noted)
        if read > most and not begun:  # the framework has its own answer to a body that cannot be read
            await refusal(scope, receive, send)
