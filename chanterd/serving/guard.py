"""Keeps other sites out: who may talk to the daemon, and what its own page may load.

A page from elsewhere can make a browser send requests to this machine. So the Host must be one of ours (which defeats
a foreign name that resolves to this machine), and an Origin, if there is one, must be exactly one of ours: ``null``
(a sandboxed frame, a file) is not. A program that is not a browser sends no Origin, and may come in.
"""

import asyncio
import logging
from collections.abc import Iterable, Mapping

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from chanterd.serving.access.listeners import Listener, listener_of, on_this_machine

LOG = logging.getLogger(__name__)

FORBIDDEN = 403
_STARTS = ("http.response.start", "websocket.http.response.start", "websocket.accept")


def content_security_policy(hosts: Iterable[str], scheme: str = "ws") -> str:
    """Only our own scripts, styles, pictures and sockets; nothing inline, nothing framed, nothing from elsewhere."""
    sockets = " ".join(f"{scheme}://{host}" for host in hosts)
    return (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
        f"connect-src 'self' {sockets}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


class Guard:
    """ASGI middleware: refuses foreign hosts and origins, and sets the security headers of every answer.

    It is the outermost layer, so that refusals and errors get the headers too. The lists are those of the listener
    through which a request arrived: this machine's own on that port, unless the request is marked with another.
    """

    def __init__(self, app: ASGIApp, port: int) -> None:
        self._app = app
        self._own = _Lists(on_this_machine(port))
        self._of_listener: dict[Listener, _Lists] = {}

    def _lists(self, scope: Scope) -> "_Lists":
        listener = listener_of(scope)
        if listener is None:
            return self._own
        if listener not in self._of_listener:
            self._of_listener[listener] = _Lists(listener)
        return self._of_listener[listener]

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] not in ("http", "websocket"):
            await self._app(scope, receive, send)
            return
        lists = self._lists(scope)
        refusal = lists.refusal(Headers(scope=scope))
        answer = self._app if refusal is None else JSONResponse({"said": refusal}, FORBIDDEN)
        try:
            await answer(scope, receive, _with_headers(send, lists.headers))
        except asyncio.CancelledError:  # only stopping the server cancels a request: no error, so no traceback
            LOG.info("chanterd is stopping and broke off a request to %s.", scope["path"])


class _Lists:
    """What a request through one listener may say, and the headers of its answer."""

    def __init__(self, listener: Listener) -> None:
        self._page = listener.page
        self._hosts = frozenset(listener.hosts)
        self._origins = frozenset(f"{listener.scheme}://{host}" for host in self._hosts)
        sockets = "wss" if listener.tls else "ws"
        self.headers = {
            "content-security-policy": content_security_policy(sorted(self._hosts), sockets),
            "cross-origin-opener-policy": "same-origin",
            "cross-origin-embedder-policy": "require-corp",
            "cross-origin-resource-policy": "same-origin",
            "referrer-policy": "no-referrer",
            "x-content-type-options": "nosniff",
            "cache-control": "no-cache",
        }

    def refusal(self, headers: Headers) -> str | None:
        """Why a request with these headers is refused; None if it is not."""
        hosts, origins = headers.getlist("host"), headers.getlist("origin")
        if len(hosts) != 1 or hosts[0] not in self._hosts:
            return f"The Host {', '.join(hosts)!r} is not chanterd's; open the page at {self._page}."
        if any(origin not in self._origins for origin in origins):
            return f"The Origin {', '.join(origins)!r} may not talk to chanterd; only its own page may."
        return None


def _with_headers(send: Send, headers: Mapping[str, str]) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] in _STARTS:
            MutableHeaders(scope=message).update(headers)
        await send(message)

    return sending
