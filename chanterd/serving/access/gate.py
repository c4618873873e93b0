"""The gate: finds out what whoever asks may do, before anything of a request is looked at.

What they may not do gets one and the same answer, whether it exists or not. Through this machine's own listener
everything is open, without a code; through any other, to whom a session's cookie says so.
"""

from http.cookies import CookieError, SimpleCookie
from typing import Annotated

from fastapi import Depends
from starlette.datastructures import Headers
from starlette.requests import HTTPConnection
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from chanterd.serving.access.grants import AT_THIS_MACHINE, ForbiddenError, Grant, Grants, Session
from chanterd.serving.access.listeners import listener_of
from chanterd.serving.access.rights import SOCKET, Files, may

FORBIDDEN = 403
SHUT = "Your code does not open this, or you have not entered one yet. Enter your code at /enter."
_KEY = "chanterd.session"


def refusal() -> JSONResponse:
    """The answer to everything that somebody may not do."""
    return JSONResponse({"said": SHUT}, FORBIDDEN)


def cookie_name(port: int) -> str:
    """The session's cookie; browsers share cookies between the ports of a host, so the port is in its name."""
    return f"chanterd-{port}"


def token_of(scope: Scope) -> str | None:
    """The token in the session's cookie of a request that arrived over the network."""
    listener = listener_of(scope)
    if listener is None:
        return None
    name = cookie_name(listener.port)
    for header in Headers(scope=scope).getlist("cookie"):
        try:
            found = SimpleCookie(header).get(name)
        except CookieError:
            continue
        if found is not None:
            return found.value
    return None


def session_of(connection: HTTPConnection) -> Session | None:
    """Whose request it is; None if nobody has entered."""
    session: Session | None = connection.scope.get(_KEY)
    return session


def _grant_of(connection: HTTPConnection) -> Grant:
    session = session_of(connection)
    if session is None:
        raise ForbiddenError
    return session.grant


GrantOf = Annotated[Grant, Depends(_grant_of)]
"""What whoever asks may do, for a route; where nobody has entered, the route is not reached."""


class Gate:
    """ASGI middleware: what a grant opens goes through, and nothing else."""

    def __init__(self, app: ASGIApp, grants: Grants, files: Files) -> None:
        self._app = app
        self._grants = grants
        self._files = files

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        if listener_of(scope) is None:
            await self._app({**scope, _KEY: Session(AT_THIS_MACHINE)}, receive, send)
            return
        session = self._grants.session(token_of(scope))
        method = SOCKET if scope["type"] == "websocket" else scope["method"]
        if may(None if session is None else session.grant, method, scope["path"], self._files):
            await self._app({**scope, _KEY: session}, receive, send)
        else:
            await refusal()(scope, receive, send)
