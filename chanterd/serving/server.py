"""Running the application on a port of this machine."""

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
from chanterd.hearing.source import Source
from chanterd.serving.app import make_app
from chanterd.serving.daemon import Daemon
from chanterd.serving.wire.protocols import BoundedHttp, TidySocket

ADDRESS = "127.0.0.1"
"""Only this machine can reach it."""
SWITCH_S = 0.001
"""How long one thread may compute before another gets its turn, seconds: Python's own 5 ms would show in a note."""
SEND_BUFFER = 65_536
"""Bytes that the system keeps for a page that does not read. Left to itself it keeps megabytes, minutes of old notes,
before the page's queue in ``live`` can tell that it is slow."""
LONGEST_MESSAGE = 65_536
"""Bytes a page may send in one WebSocket message before it is cut off; ours sends about 60."""


PARTING_S = 1.0
"""How long a page that is connected at the end may take to hear of it, seconds."""
PATIENCE_S = 5
"""How long a request may then take to break off, seconds, before the server ends without it."""
ENDING = tuple(getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name))
"""The signals that end the daemon in good order; Windows has no SIGHUP."""


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
    """A server that says when it can be reached, and ends on time whoever is still connected."""

    def __init__(self, config: uvicorn.Config, reached: Callable[[], None]) -> None:
        super().__init__(config)
        self._reached = reached

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then say so."""
        await super().startup(sockets)
        if self.started:
            self._reached()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop; whoever does not read, or waits for a long answer, is cut off after a moment."""
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
        """Leave signals to :class:`Ending`: uvicorn hands them on as a cancellation, which can get lost at the end."""
        yield


class Ending:
    """Ends a server in good order on the first signal that asks for it; later ones change nothing.

    The signals: Ctrl-C, a plain kill, and the end of the terminal, unless that was ignored from the start (``nohup``).
    Once a signal has come, it stays in charge until the process ends, so that a second Ctrl-C breaks nothing off.
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
        if self._first == signal.SIGINT:
            raise KeyboardInterrupt
        signal.signal(self._first, signal.SIG_DFL)
        signal.raise_signal(self._first)


def config_for(app: ASGIApp) -> uvicorn.Config:
    """How the application is served."""
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
    names: Sequence[str | None] = (),
    pages: Sequence[str] = ("",),
) -> None:
    """Serve until interrupted; ``names`` are of whoever plays at each source, ``pages`` what to open in a browser.

    Raises ChanterdError if the port, the store or a table of the user's is wrong.
    """
    os.umask(0o077)  # what the daemon writes says who practised what: it is for its owner only
    listener = bind(port)  # first: a second daemon that cannot serve must not touch the data of the one that runs
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
    with asyncio.Runner(loop_factory=config.get_loop_factory()) as runner:
        runner.run(server.serve(sockets=[listener]))
    ending.close()
