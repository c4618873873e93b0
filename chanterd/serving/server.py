"""Runs the application on a port of this machine."""

import asyncio
import contextlib
import errno
import gc
import logging
import os
import signal
import socket
import ssl
import sys
import webbrowser
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from types import FrameType

import uvicorn
from starlette.types import ASGIApp

from chanterd.config import ChanterdError
from chanterd.hearing.port_watch import PortWatch
from chanterd.hearing.source import Source
from chanterd.serving.access.address_watch import AddressWatch, Network
from chanterd.serving.access.door import Door
from chanterd.serving.access.listeners import LOOPBACK, Listener, Reached
from chanterd.serving.app import make_app
from chanterd.serving.daemon import Daemon
from chanterd.serving.wire.protocols import BoundedHttp, PunctualHttp, TidySocket

ADDRESS = LOOPBACK
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


def bind(port: int, address: str = ADDRESS) -> socket.socket:
    """Take the port of one address; 0 takes any free one. Raises ChanterdError if it is taken or not allowed."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    # Without the protocol's number, asyncio leaves it to the system to delay small answers and frames by 40 ms.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BUFFER)
    try:
        listener.bind((address, port))
    except OSError as error:
        listener.close()
        if error.errno == errno.EADDRNOTAVAIL:
            said = f"chanterd cannot use the address {address}: it is none of this machine's. Choose one with --lan."
            raise ChanterdError(said) from error
        why = "it is taken. Is chanterd running already?" if error.errno == errno.EADDRINUSE else f"{error.strerror}."
        where = f"port {port}" if address == ADDRESS else f"port {port} of {address}"
        raise ChanterdError(f"chanterd cannot use {where}: {why} Choose another with --port.") from error
    return listener


def door_at(address: str, port: int, tls: ssl.SSLContext | None) -> Door:
    """A door at that address, not yet open. Raises ChanterdError if the port cannot be had there."""
    return Door(Listener(address, port, tls is not None), bind(port, address), tls)


def doors_of(network: Network, port: int) -> list[Door]:
    """Take that port of every address. Raises ChanterdError if one cannot be had."""
    taken = list[Door]()
    try:
        for address in network.addresses:
            taken.append(door_at(address, port, network.tls))
    except ChanterdError:
        for door in taken:
            door.close()
        raise
    return taken


class Server(uvicorn.Server):
    """A server that calls back once it can be reached, and ends on time even if pages are still connected."""

    def __init__(self, config: uvicorn.Config, reached: Callable[[], None], doors: Sequence[Door] = ()) -> None:
        """``doors`` lead in from the network to the same application."""
        super().__init__(config)
        self._reached = reached
        self._doors = doors
        self.watch: asyncio.Future[None] | None = None
        """What goes on beside it until its end."""

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start, then call back."""
        await super().startup(sockets)
        if self.started:
            open_doors(self, self._doors)
            self._reached()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop; after a moment, cut off every client that does not read or waits for a long answer."""
        if self.watch is not None:
            self.watch.cancel()
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


def open_doors(server: uvicorn.Server, doors: Sequence[Door]) -> None:
    """Have a server that has started answer at these doors too, until it ends."""
    for door in doors:
        config = config_for(Reached(server.config.app, door.listener), PunctualHttp)  # type: ignore[arg-type] # ours
        config.load()
        door.open(partial(PunctualHttp, config, server.server_state, server.lifespan.state))
        server.servers.append(door)  # type: ignore[arg-type] # closed, and waited for, like the others


def config_for(app: ASGIApp, http: type[BoundedHttp] = BoundedHttp) -> uvicorn.Config:
    """The settings of the server for the application."""
    return uvicorn.Config(
        app,
        log_level="warning",
        proxy_headers=False,  # nobody may say that they are somebody else
        http=http,
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
    network: Network | None = None,
    announce: Callable[[Daemon], None] = lambda _: None,
) -> None:
    """Serve until interrupted; ``names`` are the players at the sources, ``pages`` the pages to open in a browser.

    ``announce`` is called when the daemon can be reached at other addresses of the network than before.

    Raises ChanterdError if the port, an address, the store or a table of the user's is wrong.
    """
    os.umask(0o077)  # what the daemon writes shows who practised what, so only its owner may read it
    with contextlib.ExitStack() as taken:
        # First: a second daemon, which cannot serve, must not touch the data of the first.
        listener = taken.enter_context(contextlib.closing(bind(port)))
        port = listener.getsockname()[1]
        doors = [] if network is None else doors_of(network, port)
        for door in doors:
            taken.callback(door.close)
        daemon = Daemon(sources, folder, store=store, names=names)
        taken.pop_all()
    daemon.entrance.listeners = tuple(door.listener for door in doors)
    daemon.entrance.fingerprint = None if network is None else network.fingerprint
    logging.getLogger().addHandler(daemon.logbook)
    page = f"http://{ADDRESS}:{port}/"

    def reached() -> None:
        freeze()
        say(page)
        if begin is not None:
            begin(daemon, leave)
        if network is not None:
            server.watch = asyncio.ensure_future(follow(network))
        if open_page:
            for path in pages:
                webbrowser.open(page + path)

    def leave() -> None:
        server.should_exit = True

    def opened(address: str, tls: ssl.SSLContext | None) -> Door:
        door = door_at(address, port, tls)
        open_doors(server, [door])
        return door

    def shut(door: Door) -> None:
        door.close()
        server.servers.remove(door)  # type: ignore[arg-type] # see open_doors

    async def follow(network: Network) -> None:
        await AddressWatch(daemon.entrance, doors, opened, shut, lambda: announce(daemon)).run(network)

    sys.setswitchinterval(SWITCH_S)
    config = config_for(make_app(daemon, port))
    server = Server(config, reached, doors)
    ending = Ending(leave)
    with PortWatch(daemon.on_ports), asyncio.Runner(loop_factory=config.get_loop_factory()) as runner:
        runner.run(server.serve(sockets=[listener]))
    ending.close()
