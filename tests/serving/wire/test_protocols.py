"""Bytes that no browser sends: heads that are too large, and frames that are none (RFC 6455, RFC 6585; from memory)."""

import contextlib
import json
import logging
import socket
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from chanterd.hearing.inputs import open_input
from tests.serving.running_daemon import ask, served

UPGRADE = (
    "Upgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: MDAwMDAwMDAwMDAwMDAwMA==\r\n"
    "Sec-WebSocket-Version: 13\r\n"
)


@pytest.fixture
def page(tmp_path: Path) -> Iterator[str]:
    """A daemon that serves."""
    with served(tmp_path, [open_input("demo")]) as (page, _):
        yield page


@contextlib.contextmanager
def connected(page: str) -> Iterator[socket.socket]:
    """A bare connection to it."""
    url = httpx.URL(page)
    with socket.create_connection((url.host, url.port or 80), timeout=20) as bare:
        yield bare


def read_all(bare: socket.socket) -> bytes:
    """All that comes until the daemon hangs up."""
    got = b""
    while data := bare.recv(65_536):
        got += data
    return got


def refused(page: str, head: str) -> tuple[int, str]:
    """Status and sentence of a request with that after its Host."""
    host = httpx.URL(page).netloc.decode()
    with connected(page) as bare:
        bare.sendall(head.replace("HOST", host).encode("latin-1"))
        top, _, body = read_all(bare).partition(b"\r\n\r\n")
    return int(top.split()[1]), json.loads(body)["said"]


HEADS = {
    "one long header": (431, "X: " + "a" * 9_000),
    "one long name": (431, "a" * 9_000 + ": x"),
    "many headers": (431, "\r\n".join(f"X{number}: a" for number in range(300))),
    "a long cookie": (431, "Cookie: " + "a" * 20_000),
    "all together": (431, "\r\n".join(f"X{number}: {'a' * 1000}" for number in range(50))),
}


@pytest.mark.parametrize("upgrade", ["", UPGRADE], ids=["http", "websocket"])
@pytest.mark.parametrize(("status", "headers"), HEADS.values(), ids=HEADS)
def test_headers_that_are_too_large_are_refused(page: str, status: int, headers: str, upgrade: str) -> None:
    """On every kind of connection, with a sentence; the next connection is served."""
    answer = refused(page, f"GET /live HTTP/1.1\r\nHost: HOST\r\n{upgrade}{headers}\r\n\r\n")
    assert answer[0] == status
    assert "Send fewer or shorter ones" in answer[1]
    assert ask(page, "GET", "api/state").status_code == 200


def test_an_endless_head_is_refused_while_it_arrives(page: str) -> None:
    """Nothing of it is parsed or kept for good."""
    assert refused(page, "GET / HTTP/1.1\r\nHost: HOST\r\nX: " + "a" * 60_000)[0] == 431
    assert refused(page, "GET /" + "a" * 60_000)[0] == 431


def test_an_address_that_is_too_long_is_refused(page: str) -> None:
    """With the status for that."""
    status, said = refused(page, f"GET /?{'a' * 9_000} HTTP/1.1\r\nHost: HOST\r\n\r\n")
    assert (status, said) == (414, "The address has over 8000 bytes; put what is long into the body.")


def test_what_is_no_http_is_refused_in_the_same_shape(page: str) -> None:
    """A status and a sentence."""
    status, said = refused(page, "\xff\xff nonsense\r\n\r\n")
    assert status == 400
    assert "not HTTP" in said


def test_a_usual_head_after_a_body_is_no_trouble(page: str) -> None:
    """Many requests on one connection: their bodies and heads add up to more than one head may have."""
    with httpx.Client(timeout=30) as client:
        for _ in range(60):
            body = b'{"name": "x"}'.ljust(2_000)
            headers = {"x-one": "a" * 500, "content-type": "application/json"}
            assert client.post(f"{page}api/players/999", content=body, headers=headers).status_code == 422


def frame(opcode: int, payload: bytes, *, first: int = 0x80, mask: int = 0x80) -> bytes:
    """A frame as RFC 6455 section 5.2 has it, masked with zeros."""
    return bytes([first | opcode, mask | len(payload)]) + bytes(4 if mask else 0) + payload


WRONG_FRAMES = {
    "text that is not UTF-8": (1007, frame(1, b"\xff\xfe")),
    "half a letter": (1007, frame(1, b"\xe2\x82")),
    "not UTF-8 in two parts": (1007, frame(1, b"\xff", first=0) + frame(0, b"\xfe")),
    "a surrogate": (1007, frame(1, b"\xed\xa0\x80")),
    "an opcode that is none": (1002, frame(3, b"hi")),
    "a control opcode that is none": (1002, frame(11, b"")),
    "a reserved bit": (1002, frame(1, b"hi", first=0xF0)),
    "no mask": (1002, frame(1, b"hi", mask=0)),
    "a ping in parts": (1002, frame(9, b"hi", first=0)),
    "a part of nothing": (1002, frame(0, b"hi")),
    "a close code of one byte": (1002, frame(8, b"h")),
    "a reason that is not UTF-8": (1007, frame(8, b"\x03\xe8\xff\xff")),
    "too long": (1009, b"\x81\xff" + (10**12).to_bytes(8, "big") + bytes(4) + b"abc"),
}


@pytest.mark.parametrize(("code", "sent"), WRONG_FRAMES.values(), ids=WRONG_FRAMES)
def test_a_wrong_frame_ends_its_connection_and_leaves_no_traceback(
    page: str, code: int, sent: bytes, caplog: pytest.LogCaptureFixture
) -> None:
    """The close code is the one of RFC 6455 section 7.4.1; the log has sentences only."""
    with caplog.at_level(logging.INFO), connected(page) as bare:
        host = httpx.URL(page).netloc.decode()
        bare.sendall(f"GET /live HTTP/1.1\r\nHost: {host}\r\n{UPGRADE}\r\n".encode())
        while b'"hello"' not in bare.recv(65_536):
            pass
        bare.sendall(sent)
        got = read_all(bare)
        assert code.to_bytes(2, "big") in got[-80:]
    assert [record for record in caplog.records if record.exc_info or "Traceback" in record.getMessage()] == []
    assert ask(page, "GET", "api/state").status_code == 200
