"""The door to the network: how many may be inside, and what ten thousand visitors leave behind."""

import contextlib
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import psutil
import pytest

from chanterd.hearing.simulated import DemoSource
from chanterd.serving.access import door
from chanterd.serving.access.address_watch import Network
from chanterd.serving.wire import protocols
from tests.serving.running_daemon import ask, served, wait_until

LAN = "127.0.0.2"
"""Of this machine, but not the address of its own listener: in these tests the network's."""


@pytest.fixture
def port(tmp_path: Path) -> Iterator[int]:
    """The port of a daemon that can be reached over the network."""
    with served(tmp_path, [DemoSource(1)], Network([LAN])) as (_, daemon):
        yield daemon.entrance.listeners[0].port


@contextlib.contextmanager
def connected(port: int, many: int) -> Iterator[list[socket.socket]]:
    """So many connections that send nothing."""
    with contextlib.ExitStack() as opened:
        yield [opened.enter_context(socket.create_connection((LAN, port))) for _ in range(many)]


def is_shut(client: socket.socket) -> bool:
    """Whether the other side has hung up."""
    client.settimeout(10)
    try:
        return client.recv(1) == b""
    except ConnectionResetError:
        return True


def test_more_than_the_most_are_turned_away_and_the_rest_stay(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever sits at the machine is served meanwhile; when some leave, others may come."""
    monkeypatch.setattr(door, "MOST_OPEN", 5)
    with connected(port, 5), connected(port, 3) as outside:
        assert all(is_shut(one) for one in outside)
        assert ask(f"http://127.0.0.1:{port}/", "GET", "api/state").status_code == 200
    wait_until(lambda: _status(port) == 200)


def _status(port: int) -> int:
    try:
        return ask(f"http://{LAN}:{port}/", "GET", "enter").status_code
    except httpx.TransportError:
        return 0


def test_who_connects_and_says_nothing_is_hung_up_on(port: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """So is whoever sends a request letter by letter."""
    monkeypatch.setattr(protocols, "WHOLE_WITHIN_S", 0.2)
    with connected(port, 2) as (silent, slow):
        slow.sendall(b"GET /enter HTTP/1.1\r\nHost: ")
        assert is_shut(silent)
        assert is_shut(slow)


def test_ten_thousand_connections_leave_nothing_behind(port: int) -> None:
    """Some hang up at once, some say a word, some get an answer; then the daemon has as many descriptors as before."""
    process = psutil.Process()
    ask(f"http://{LAN}:{port}/", "GET", "enter")
    before = process.num_fds()
    refused = b"GET /api/state HTTP/1.1\r\nHost: 127.0.0.2:%d\r\n\r\n" % port
    for number in range(10_000):
        with contextlib.suppress(ConnectionResetError), socket.create_connection((LAN, port)) as visitor:
            if number % 10 == 0:
                visitor.sendall(b"GET ")
            elif number % 10 == 1:
                visitor.sendall(refused)
                assert visitor.recv(12) == b"HTTP/1.1 403"
    wait_until(lambda: process.num_fds() <= before + 1)
    started = time.monotonic()
    assert ask(f"http://127.0.0.1:{port}/", "GET", "api/state").status_code == 200
    assert time.monotonic() - started < 5
