"""Runs the application on a port of this machine."""

import asyncio
import contextlib
import errno
import gc
import logging
import os
import signal
import socket
import sys
import webbrowser
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import FrameType

import uvicorn
from starlette.types import ASGIApp

from chanterd.config import ChanterdError
from chanterd.hearing.port_watch import PortWatch
from chanterd.hearing.source import Source
from chanterd.serving.app import make_app
from chanterd.serving.daemon import Daemon
from chanterd.serving.wire.protocols import BoundedHttp, TidySocket

ADDRESS = "127.0.0.1"
"""Only this machine can reach it."""
SWITCH_S = 0.001
"""How long one thread may compute before another gets its turn, seconds: Python's own 5 ms would show in a note."""
SEND_BUFFER = 65_536
"""Bytes that the system buffers for a page that does not read. By default it buffers megabytes, minutes of old notes,
before the page's own queue can notice that it is slow."""
LONGEST_MESSAGE = 65_536
"""Bytes a page may send in one WebSocket message before the daemon cuts it off; our page sends about 60."""


PARTING_S = 1.0
"""How long a connected page has to read that the server ends, seconds."""
PATIENCE_S = 5
"""How long a request then has to break off, seconds, before the server ends without it."""
ENDING = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
"""The signals that end the daemon in good order; Windows has no SIGHUP."""


def bind(port: int) -> socket.socket:
    """Take the port; 0 takes any free one. Raises ChanterdError if it is taken or not allowed."""
    # Without the protocol's number, asyncio leaves it to the system to delay small answers and frames by 40 ms.
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BUFFER)
    try:
        listener.bind((ADDRESS, port))
    except OSError as error:
        listener.close()
        why = "it is taken. Is chanterd running already?" if error.errno == errno.EADDRINUSE else f"{error.strerror}."
        raise ChanterdError(f"chanterd cannot use port {port}: {why} Choose another with --port.") from error
    return listener


class Server(uvicorn.Server):
    """A server that calls back once it can be reached, and ends on time even if pages are still connected."""

    def __init__(self, config: uvicorn.Config, reached: Callable[[], None]) -> None:
        super().__init__(config)
        self._reached = reached

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then call back."""
        await super().startup(sockets)
        if self.started:
            self._reached()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop; after a moment, cut off every client that does not read or waits for a long answer."""
        cutting_off = asyncio.get_running_loop().call_later(PARTING_S, self._cut_off)
        try:
            await super().shutdown(sockets)
        finally:
            cutting_off.cancel()

    def _cut_off(self) -> None:
        for connection in list(self.server_state.connections):
            connection.transport.abort()
        for task in self.server_state.tasks:
            task.cancel()

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave signals to :class:`Ending`: uvicorn turns them into a cancellation, which can get lost at the end."""
        yield


class Ending:
    """Ends a server in good order on the first signal that asks for it; later ones change nothing.

    The signals: Ctrl-C, a plain kill, and the end of the terminal, unless that was ignored from the start (``nohup``).
    After the first signal it stays in charge until the process ends, so that a second Ctrl-C breaks nothing off.
    """

    def __init__(self, leave: Callable[[], None]) -> None:
        self._leave = leave
        self._first: int | None = None
        self._before = {
            number: signal.signal(number, self._take)
            for number in ENDING
            if number == signal.SIGINT or signal.getsignal(number) is not signal.SIG_IGN
        }

    def _take(self, number: int, _frame: FrameType | None) -> None:
        self._first = number if self._first is None else self._first
        self._leave()

    def close(self) -> None:
        """After the server's end: end the process as the signal would have, or take it back if none came.

        Raises KeyboardInterrupt after Ctrl-C.
        """
        if self._first is None:
            for number, handler in self._before.items():
                signal.signal(number, handler)
            return
        for number in self._before:
            # Python gives its own handlers up while it ends, and one more Ctrl-C would then kill it; this one stays.
            signal.signal(number, signal.SIG_IGN)
        if self._first == signal.SIGINT:
            raise KeyboardInterrupt
        signal.signal(self._first, signal.SIG_DFL)
        signal.raise_signal(self._first)


def config_for(app: ASGIApp) -> uvicorn.Config:
    """The settings of the server for the application."""
    return uvicorn.Config(
        app,
        log_level="warning",
        http=BoundedHttp,
        ws=TidySocket,
        ws_per_message_deflate=False,  # small frames: packing them would cost more time than it saves
        ws_max_size=LONGEST_MESSAGE,
        timeout_graceful_shutdown=PATIENCE_S,
    )


def freeze() -> None:
    """Exempt everything made at the start from garbage collection.

    It stays anyway, and each search through it would hold the notes up for a tenth of a second. Nothing is collected
    before: among 110,000 objects a thousand are garbage, and to find them would take longer than to read all tables.
    """
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
    names: Sequence[str | None] = (),
    pages: Sequence[str] = ("",),
) -> None:
    """Serve until interrupted; ``names`` are the players at the sources, ``pages`` the pages to open in a browser.

    Raises ChanterdError if the port, the store or a table of the user's is wrong.
    """
    os.umask(0o077)  # what the daemon writes shows who practised what, so only its owner may read it
    listener = bind(port)  # first: a second daemon, which cannot serve, must not touch the data of the first
    try:
        daemon = Daemon(sources, folder, store=store, names=names)
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
            for path in pages:
                webbrowser.open(page + path)

    def leave() -> None:
        server.should_exit = True

    sys.setswitchinterval(SWITCH_S)
    config = config_for(make_app(daemon, port))
    server = Server(config, reached)
    ending = Ending(leave)
    with PortWatch(daemon.on_ports), asyncio.Runner(loop_factory=config.get_loop_factory()) as runner:
        runner.run(server.serve(sockets=[listener]))
    ending.close()
