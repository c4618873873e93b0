"""A daemon that really serves, in this process or as a program of its own, and a viewer of its frames."""

import contextlib
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Self

import httpx
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

from chanterd.hearing.source import Source
from chanterd.serving.access.address_watch import Network
from chanterd.serving.app import make_app
from chanterd.serving.daemon import Daemon
from chanterd.serving.server import bind, config_for, doors_of
from tests.quick_server import QuickServer
from tests.serving.played_seat import loads

PATIENCE_S = 30.0
"""How long to wait for what must come; only a failing test waits so long."""

Frame = dict[str, Any]


class Viewing:
    """A viewer of ``/live``: every frame is checked against the schema and kept, in order.

    ``read`` turns text into a frame, in another way where there are too many to check each; ``topic`` is a query.
    """

    def __init__(self, page: str, read: Callable[[str], Frame] = loads, topic: str = "") -> None:
        self._loads = read
        self.frames: list[Frame] = []
        self.arrivals_ns: list[int] = []
        self.wrong: Exception | None = None
        self.closed = False
        self._news = threading.Condition()
        self._url = page.replace("http://", "ws://") + "live" + topic

    def __enter__(self) -> Self:
        self._opened = contextlib.ExitStack()
        self.socket = self._opened.enter_context(connect(self._url))
        self._thread = threading.Thread(target=self._read)
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._opened.close()
        self._thread.join()
        if self.wrong is not None:
            raise self.wrong

    def _read(self) -> None:
        try:
            for text in self.socket:
                at_ns = time.perf_counter_ns()
                frame = self._loads(str(text))
                with self._news:
                    self.frames.append(frame)
                    self.arrivals_ns.append(at_ns)
                    self._news.notify_all()
        except ConnectionClosed:
            pass
        except Exception as error:  # noqa: BLE001 - raised again where the test ends
            self.wrong = error
        with self._news:
            self.closed = True
            self._news.notify_all()

    def of(self, kind: str) -> list[Frame]:
        """All frames of a kind so far; of verdicts the final ones."""
        return [frame for frame in self.frames if frame["kind"] == kind and (kind != "rep" or frame["final"])]

    def wait_for(self, found: Callable[[Frame], object], after: int = 0, patience_s: float = PATIENCE_S) -> Frame:
        """The first frame from number ``after`` on (negative: from the end) for which that is true, waited for."""
        deadline = time.monotonic() + patience_s
        with self._news:
            while True:
                for frame in self.frames[after:]:
                    if found(frame):
                        return frame
                after = len(self.frames)
                assert not self.closed, f"closed; the last frames: {self.frames[-5:]}"
                assert self._news.wait(deadline - time.monotonic()), f"in vain; the last frames: {self.frames[-5:]}"

    def wait_for_kind(self, kind: str, after: int = 0, seat: str | None = None) -> Frame:
        """The first frame of a kind, of that seat if one is named; of verdicts the first final one."""
        return self.wait_for(
            lambda frame: (
                frame["kind"] == kind and (kind != "rep" or frame["final"]) and seat in (None, frame.get("seat"))
            ),
            after,
        )


@contextlib.contextmanager
def served(
    folder: Path, sources: Sequence[Source], network: Network | None = None, names: Sequence[str | None] = ()
) -> Iterator[tuple[str, Daemon]]:
    """A daemon that serves from a thread of this process; yields the page's address and the daemon."""
    daemon = Daemon(sources, folder, names=names)
    listener = bind(0)
    port = listener.getsockname()[1]
    doors = [] if network is None else doors_of(network, port)
    daemon.entrance.listeners = tuple(door.listener for door in doors)
    daemon.entrance.fingerprint = None if network is None else network.fingerprint
    server = QuickServer(config_for(make_app(daemon, port)))
    server.begin(listener, doors)
    try:
        yield f"http://127.0.0.1:{port}/", daemon
    finally:
        server.end()


def wait_until(true: Callable[[], bool], patience_s: float = PATIENCE_S) -> None:
    """Return as soon as it is true; looked at every 10 ms."""
    deadline = time.monotonic() + patience_s
    while not true():
        assert time.monotonic() < deadline, "waited in vain"
        time.sleep(0.01)


class Program:
    """``chanterd serve``, or another command that serves, as a program of its own, as a player starts it."""

    def __init__(self, words: Iterable[str], env: dict[str, str] | None = None, command: str = "serve") -> None:
        self._command = [sys.executable, "-m", "chanterd.commands.main", command, "--no-open", *words]
        self._env = {**(env or os.environ), "PYTHONFAULTHANDLER": "1"}
        self.page = ""

    def __enter__(self) -> Self:
        self._folder = tempfile.TemporaryDirectory()
        with self._file("stdout").open("w") as stdout, self._file("stderr").open("w") as stderr:
            self.process = subprocess.Popen(self._command, stdout=stdout, stderr=stderr, env=self._env)
        try:
            wait_until(lambda: self._reached() or self.process.poll() is not None)
            assert self.page, self.stderr
        except BaseException:
            self.__exit__()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        try:
            self.process.wait(PATIENCE_S)
        except subprocess.TimeoutExpired:
            self.process.send_signal(signal.SIGABRT)  # it says then what each of its threads was doing
            try:
                self.process.wait(PATIENCE_S)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()
            raise AssertionError(f"It did not end:\n{self.stderr}") from None
        finally:
            self._folder.cleanup()

    def _reached(self) -> bool:
        found = re.search(r"http://\S+", self.stdout)
        self.page = found.group() if found else ""
        return bool(found)

    def _file(self, name: str) -> Path:
        return Path(self._folder.name) / name

    @property
    def stdout(self) -> str:
        """All that was printed so far."""
        return self._file("stdout").read_text()

    @property
    def stderr(self) -> str:
        """All that was complained of so far."""
        return self._file("stderr").read_text()

    def wait_for(self, words: str) -> None:
        """Wait until that is printed: lines come one by one."""
        wait_until(lambda: words in self.stdout)

    def interrupt(self) -> int:
        """Press Ctrl-C; the exit code."""
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(PATIENCE_S)


@cache
def _client() -> httpx.Client:
    # One for all tests: each new one reads a whole store of certificates, which nobody needs here.
    return httpx.Client(timeout=PATIENCE_S, limits=httpx.Limits(max_keepalive_connections=0))


def ask(page: str, method: str, path: str, body: Any = None, **more: Any) -> httpx.Response:
    """One request, as a program that is no browser and keeps no cookies makes it; ``more`` goes on to httpx."""
    if body is not None:
        more["json"] = body
    _client().cookies.clear()
    return _client().request(method, page + path, **more)


def slow_socket(page: str) -> socket.socket:
    """A connection with little room of its own for what it does not read, for ``connect(sock=...)``."""
    slow = socket.socket()
    slow.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 16_384)
    address = httpx.URL(page)
    slow.connect((address.host, address.port))
    return slow
