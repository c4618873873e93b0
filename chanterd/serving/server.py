"""Running the application on a port of this machine."""

import asyncio
import errno
import gc
import logging
import socket
import sys
import webbrowser
from collections.abc import Callable, Sequence
from pathlib import Path

import uvicorn
from starlette.types import ASGIApp

from chanterd.config import ChanterdError
from chanterd.hearing.source import Source
from chanterd.serving.app import make_app
from chanterd.serving.daemon import Daemon

ADDRESS = "127.0.0.1"
"""Only this machine can reach it."""
SWITCH_S = 0.001
"""How long one thread may compute before another gets its turn, seconds: Python's own 5 ms would show in a note."""
SEND_BUFFER = 65_536
"""Bytes that the system keeps for a page that does not read. Left to itself it keeps megabytes, minutes of old notes,
before the page's queue in ``live`` can tell that it is slow."""
LONGEST_MESSAGE = 65_536
"""Bytes a page may send in one WebSocket message before it is cut off; ours sends about 60."""


def bind(port: int) -> socket.socket:
    """Take the port; 0 takes any free one. Raises ChanterdError if it is taken or not allowed."""
    # Without the protocol's number, asyncio's own loop lets the system hold small answers and frames back for 40 ms.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BUFFER)
    try:
        listener.bind((ADDRESS, port))
    except OSError as error:
        listener.close()
        why = "is taken; is the daemon running already?" if error.errno == errno.EADDRINUSE else f"({error.strerror})."
        raise ChanterdError(f"The port {port} cannot be used: it {why} Choose another with --port.") from error
    return listener


class Server(uvicorn.Server):
    """A server that says when it can be reached."""

    def __init__(self, config: uvicorn.Config, reached: Callable[[], None]) -> None:
        super().__init__(config)
        self._reached = reached

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        if self.started:
            self._reached()


def config_for(app: ASGIApp) -> uvicorn.Config:
    """How the application is served."""
    return uvicorn.Config(
        app,
        log_level="warning",
        ws_per_message_deflate=False,  # small frames: packing them would cost more time than it saves
        ws_max_size=LONGEST_MESSAGE,
        timeout_graceful_shutdown=2,
    )


def freeze() -> None:
    """Spare the garbage collector what was made at the start: it stays, and no note is told while it is gone through.

    That would take a tenth of a second each time.
    """
    gc.collect()
    gc.freeze()


Begin = Callable[[Daemon, Callable[[], None]], None]
"""What to do as soon as the server can be reached, in its loop; the second argument ends the server when called."""


def serve(
    sources: Sequence[Source],
    folder: Path,
    port: int,
    say: Callable[[str], None],
    *,
    open_page: bool,
    begin: Begin | None = None,
    store: str | None = None,
) -> None:
    """Serve until interrupted. Raises ChanterdError if the port, the store or a table of the user's is wrong."""
    listener = bind(port)  # first: a second daemon that cannot serve must not touch the data of the one that runs
    try:
        daemon = Daemon(sources, folder, store=store)
    except ChanterdError:
        listener.close()
        raise
    logging.getLogger().addHandler(daemon.logbook)
    port = listener.getsockname()[1]
    page = f"http://{ADDRESS}:{port}/"

    def reached() -> None:
        freeze()
        say(page)
        if begin is not None:
            begin(daemon, leave)
        if open_page:
            webbrowser.open(page)

    def leave() -> None:
        server.should_exit = True

    sys.setswitchinterval(SWITCH_S)
    config = config_for(make_app(daemon, port))
    server = Server(config, reached)
    with asyncio.Runner(loop_factory=config.get_loop_factory()) as runner:
        runner.run(server.serve(sockets=[listener]))
