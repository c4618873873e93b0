"""The door to the network: accepts connections at one listener, never more at a time than the machine can bear.

The event loop's own servers accept whatever comes. On this machine that is as it should be; from a network somebody
could open connections until the daemon has no descriptor left for the history or a chanter.
"""

import asyncio
import logging
import socket
import ssl
from collections.abc import Callable
from functools import partial
from typing import cast

from chanterd.serving.access.listeners import Listener

LOG = logging.getLogger(__name__)

MOST_OPEN = 800
"""Connections at a time. 40 seats and 60 viewers have one each that stays, and up to six more while a page loads."""
HANDSHAKE_S = 10.0
"""How long agreeing on a key may take, seconds."""
BACKLOG = 256
"""How many may wait to be accepted."""
AGAIN_S = 1.0
"""How long to wait if the system has no descriptor left, seconds."""


class Door:
    """Accepts connections, from ``open`` to ``close``."""

    def __init__(self, listener: Listener, bound: socket.socket, tls: ssl.SSLContext | None = None) -> None:
        self.listener = listener
        self._socket = bound
        self._tls = tls
        self._open: set[asyncio.BaseTransport] = set()
        self._greeting: set[asyncio.Task[None]] = set()
        self._accepting: asyncio.Task[None] | None = None

    def certify(self, tls: ssl.SSLContext | None) -> None:
        """Show another certificate to whoever connects from now on."""
        self._tls = tls

    def open(self, make_protocol: Callable[[], asyncio.Protocol]) -> None:
        """Begin; needs a running event loop."""
        self._make_protocol = make_protocol
        self._socket.setblocking(False)  # noqa: FBT003 - the standard library's own form
        self._socket.listen(BACKLOG)
        self._accepting = asyncio.get_running_loop().create_task(self._accept())

    def close(self) -> None:
        """Accept nothing more; what is open stays."""
        for task in (self._accepting, *self._greeting):
            if task is not None:
                task.cancel()
        self._socket.close()

    async def wait_closed(self) -> None:
        """Return when nothing more is accepted."""
        tasks = [task for task in (self._accepting, *self._greeting) if task is not None]
        await asyncio.gather(*tasks, return_exceptions=True)

    async def _accept(self) -> None:
        loop = asyncio.get_running_loop()
        while True:
            try:
                client, _ = await loop.sock_accept(self._socket)
            except OSError as error:
                LOG.warning("A connection to %s cannot be accepted: %s.", self.listener.page, error.strerror)
                await asyncio.sleep(AGAIN_S)
                continue
            if self._is_full():
                client.close()
                continue
            task = loop.create_task(self._greet(client))
            self._greeting.add(task)
            task.add_done_callback(self._greeting.discard)
            task.add_done_callback(partial(_broken_off, client))

    def _is_full(self) -> bool:
        if len(self._open) + len(self._greeting) >= MOST_OPEN:
            self._open = {one for one in self._open if not one.is_closing()}
        return len(self._open) + len(self._greeting) >= MOST_OPEN

    async def _greet(self, client: socket.socket) -> None:
        loop = asyncio.get_running_loop()
        patience_s = HANDSHAKE_S if self._tls is not None else None
        try:
            transport, _ = await loop.connect_accepted_socket(
                self._make_protocol, client, ssl=self._tls, ssl_handshake_timeout=patience_s
            )
        except OSError as error:  # hung up, or no TLS, or too slow: TimeoutError and SSLError are OSErrors
            client.close()
            LOG.debug("A connection to %s came to nothing: %s.", self.listener.page, error)
        else:
            self._open.add(transport)
            self._greeting.discard(cast("asyncio.Task[None]", asyncio.current_task()))  # at once: nobody counts twice


def _broken_off(client: socket.socket, greeted: "asyncio.Task[None]") -> None:
    """Hang up on a client that the end of the daemon left at the door; such a task may never have begun."""
    if greeted.cancelled():
        client.close()
