"""Keeping other sites out: who may talk to the daemon, and what a page of ours may load.

A page from elsewhere can make a browser send requests to this machine. So the Host must be one of ours (which defeats
a foreign name that resolves to this machine), and an Origin, where there is one, must be exactly one of ours: ``null``
(a sandboxed frame, a file) is not.
"""

from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send
from starlette.websockets import WebSocketClose

HOSTS = ("127.0.0.1", "localhost", "[::1]")
DEFAULT_PORT = 80
"""A browser leaves this port out of Host and Origin."""
REFUSED = 1008
"""WebSocket close code for a policy violation (RFC 6455, section 7.4.1)."""


def content_security_policy(hosts: Iterable[str]) -> str:
    """Only our own scripts, styles, pictures and sockets; nothing inline, nothing framed, nothing from elsewhere."""
    sockets = " ".join(f"ws://{host}" for host in hosts)
    return (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
        f"connect-src 'self' {sockets}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


class Guard:
    """ASGI middleware: refuses foreign hosts and origins, and sets the security headers of every answer."""

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
        host, origin = headers.get("host", ""), headers.get("origin")
        if host not in self._hosts:
            return f"The Host '{host}' is not this daemon; open the page at {min(self._origins)}."
        if origin is not None and origin not in self._origins:
            return f"The Origin '{origin}' may not talk to this daemon; only its own page may."
        return None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        refusal = self._refusal(Headers(scope=scope))
        if refusal is None:
            await self._app(scope, receive, self._with_headers(send))
        elif scope["type"] == "websocket":
            await WebSocketClose(REFUSED, refusal)(scope, receive, send)
        else:
            await JSONResponse({"said": refusal}, 403)(scope, receive, send)

    def _with_headers(self, send: Send) -> Send:
        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(self._headers)
            await send(message)

        return sending
