"""A server for tests that starts and ends at once.

uvicorn looks ten times a second whether it shall end, and then waits a tenth of a second more; over hundreds of tests
that is a minute. What a client sees is the same: its connection is closed, and an answer under way is cancelled.
"""

import asyncio
import socket
import threading
from collections.abc import Sequence

import uvicorn

from chanterd.serving.access.door import Door
from chanterd.serving.server import open_doors

LOOP = "loop"
"""The thread that the event loop runs in."""
WAIT_S = 30.0
LOOK_S = 0.002


class QuickServer(uvicorn.Server):
    """Serves from a thread of its own, from ``begin`` to ``end``."""

    def begin(self, listener: socket.socket, doors: Sequence[Door] = ()) -> None:
        """Start, with doors to the network; returns when it can be reached."""
        self._doors = doors
        self._up = threading.Event()
        self._thread = threading.Thread(target=self.run, name=LOOP, kwargs={"sockets": [listener]}, daemon=True)
        self._thread.start()
        assert self._up.wait(WAIT_S)

    def end(self) -> None:
        """Cut every client off and end; returns when all is over."""
        self.loop.call_soon_threadsafe(self._over.set)
        self._thread.join(WAIT_S)
        assert not self._thread.is_alive()

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        open_doors(self, self._doors)
        self.loop, self._over = asyncio.get_running_loop(), asyncio.Event()
        self._up.set()

    async def main_loop(self) -> None:
        """Sleep until the end."""
        await self.on_tick(0)
        await self._over.wait()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """As uvicorn does it, without its waits."""
        for server in self.servers:
            server.close()
        for listener in sockets or []:
            listener.close()
        for connection in list(self.server_state.connections):
            if not connection.transport.is_closing():  # uvicorn itself stumbles over one that has just said goodbye
                connection.shutdown()
        try:
            async with asyncio.timeout(self.config.timeout_graceful_shutdown):
                while self.server_state.connections or self.server_state.tasks:  # noqa: ASYNC110 - uvicorn has no event for it
                    await asyncio.sleep(LOOK_S)
        except TimeoutError:
            for task in self.server_state.tasks:
                task.cancel()
        await self.lifespan.shutdown()
