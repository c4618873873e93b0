"""Keeps other sites out: who may talk to the daemon, and what its own page may load.

A page from elsewhere can make a browser send requests to this machine. So the Host must be one of ours (which defeats
a foreign name that resolves to this machine), and an Origin, if there is one, must be exactly one of ours: ``null``
(a sandboxed frame, a file) is not. A program that is not a browser sends no Origin, and may come in.
"""

import asyncio
import logging
from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOG = logging.getLogger(__name__)

HOSTS = ("127.0.0.1", "localhost")
DEFAULT_PORT = 80
"""A browser leaves this port out of Host and Origin."""
FORBIDDEN = 403
_STARTS = ("http.response.start", "websocket.http.response.start", "websocket.accept")


def content_security_policy(hosts: Iterable[str]) -> str:
    """Only our own scripts, styles, pictures and sockets; nothing inline, nothing framed, nothing from elsewhere."""
    sockets = " ".join(f"ws://{host}" for host in hosts)
    return (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        f"connect-src 'self' {sockets}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


class Guard:
    """ASGI middleware: refuses foreign hosts and origins, and sets the security headers of every answer.

    It is the outermost layer, so that refusals and errors get the headers too.
    """

    def __init__(self, app: ASGIApp, port: int) -> None:
        self._app = app
        plain = HOSTS if port == DEFAULT_PORT else ()
        self._hosts = frozenset([*plain, *(f"{host}:{port}" for host in HOSTS)])
        self._origins = frozenset(f"http://{host}" for host in self._hosts)
        self._headers = {
            "content-security-policy": content_security_policy(sorted(self._hosts)),
            "cross-origin-opener-policy": "same-origin",
            "cross-origin-embedder-policy": "require-corp",
            "cross-origin-resource-policy": "same-origin",
            "referrer-policy": "no-referrer",
            "x-content-type-options": "nosniff",
            "cache-control": "no-cache",
        }

    def _refusal(self, headers: Headers) -> str | None:
        hosts, origins = headers.getlist("host"), headers.getlist("origin")
        if len(hosts) != 1 or hosts[0] not in self._hosts:
            return f"The Host {', '.join(hosts)!r} is not chanterd's; open the page at {min(self._origins)}."
        if any(origin not in self._origins for origin in origins):
            return f"The Origin {', '.join(origins)!r} may not talk to chanterd; only its own page may."
        return None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        refusal = self._refusal(Headers(scope=scope))
        answer = self._app if refusal is None else JSONResponse({"said": refusal}, FORBIDDEN)
        try:
            await answer(scope, receive, self._with_headers(send))
        except asyncio.CancelledError:  # only stopping the server cancels a request: no error, so no traceback
            LOG.info("chanterd is stopping and broke off a request to %s.", scope["path"])

    def _with_headers(self, send: Send) -> Send:
        async def sending(message: Message) -> None:
            if message["type"] in _STARTS:
                MutableHeaders(scope=message).update(self._headers)
            await send(message)

        return sending
