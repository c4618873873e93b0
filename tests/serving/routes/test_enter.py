"""The way in over the network, with a daemon that serves at another address of this machine."""

import contextlib
import datetime as dt
import json
import socket
import ssl
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import parse_qs, urlsplit

import httpx
import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import connect

from chanterd.hearing.simulated import DemoSource
from chanterd.music.units import Ns
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import AT_THIS_MACHINE, WALL, Grant, Role
from chanterd.serving.access.lockout import FROM_ONE, WINDOW_NS
from chanterd.serving.access.tls import self_signed, tls_context
from chanterd.serving.daemon import Daemon
from chanterd.serving.wire import connection, protocols
from tests.serving.running_daemon import Viewing, ask, served, slow_socket, wait_until
from tests.serving.wire.test_protocols import UPGRADE

LAN = "127.0.0.2"
"""Of this machine, but not the address of its own listener: in these tests the network's."""


class Class:
    """A daemon with two seats, open to the network."""

    def __init__(self, daemon: Daemon, here: str) -> None:
        self.daemon = daemon
        self.here = here
        self.there = daemon.entrance.listeners[0].page

    def ask(self, method: str, path: str, body: Any = None, cookie: str = "", **more: Any) -> httpx.Response:
        """A request over the network."""
        headers = {"cookie": cookie} if cookie else {}
        return ask(self.there, method, path, body, headers=headers, **more)

    def enter(self, grant: Grant) -> str:
        """Enter with the code of that grant; the cookie."""
        answer = self.ask("POST", "api/enter", {"code": self.daemon.entrance.grants.code_of(grant)})
        assert (answer.status_code, answer.content) == (204, b"")
        return answer.headers["set-cookie"].split(";")[0]

    def socket(self, path: str, cookie: str = "") -> Any:
        """A WebSocket over the network."""
        headers = {"Cookie": cookie} if cookie else {}
        return connect(self.there.replace("http://", "ws://") + path, additional_headers=headers)


SEATS = [Grant(Role.SEAT, "1"), Grant(Role.SEAT, "2")]


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Class]:
    """Ailsa and Bram, two simulated players."""
    with served(tmp_path, [DemoSource(1), DemoSource(2)], Network([LAN]), ["Ailsa", "Bram"]) as (here, daemon):
        yield Class(daemon, here)


def test_a_code_opens_its_own_part_and_the_cookie_is_kept_from_scripts_and_other_sites(room: Class) -> None:
    """HttpOnly and SameSite (RFC 6265bis, from memory); Secure is for TLS."""
    answer = room.ask("POST", "api/enter", {"code": room.daemon.entrance.grants.code_of(SEATS[1]).lower()})
    assert answer.status_code == 204
    name, *flags = answer.headers["set-cookie"].split("; ")
    assert {flag.lower() for flag in flags} == {"httponly", "path=/", "samesite=strict"}
    assert room.ask("GET", "api/grant", cookie=name).json() == {"role": "seat", "seat": "2", "page": "/seat/2"}
    [seat] = room.ask("GET", "api/state", cookie=name).json()["seats"]
    assert seat["player"]["name"] == "Bram"


def test_over_tls_the_cookie_is_secure(tmp_path: Path) -> None:
    """So that it never travels in the clear; and the page's sockets are secure ones."""
    files = self_signed(tmp_path, [LAN], dt.datetime.now(dt.UTC))
    network = Network([LAN], tls_context(files))
    with served(tmp_path, [DemoSource(1)], network) as (_, daemon):
        code = daemon.entrance.grants.code_of(WALL)
        page = daemon.entrance.listeners[0].page
        answer = httpx.post(f"{page}api/enter", json={"code": code}, verify=_trusting(files.certificate), timeout=30)
    assert page.startswith("https://")
    assert "Secure" in answer.headers["set-cookie"].split("; ")
    assert f"wss://{LAN}" in answer.headers["content-security-policy"]


def _trusting(certificate: Path) -> Any:
    return ssl.create_default_context(cafile=certificate)


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"[]", b"null", b'{"code": 5}', b'{"code": ""}', b'{"code": "\\ud800"}', b'{"x": 1}', b"[" * 5000],
)
def test_whatever_is_no_code_is_refused_like_everything_else(room: Class, body: bytes) -> None:
    """Without a word about what is wrong with it."""
    stranger = room.ask("GET", "api/state")
    answer = room.ask("POST", "api/enter", content=body)
    assert (answer.status_code, answer.content) == (403, stranger.content)
    assert "set-cookie" not in answer.headers


def test_after_ten_wrong_codes_nobody_is_listened_to_for_a_minute(room: Class) -> None:
    """429 with Retry-After (RFC 6585 section 4); the right code does not help."""
    for _ in range(FROM_ONE):
        assert room.ask("POST", "api/enter", {"code": "7K2M-9XQ4-TBD5W"}).status_code == 403
    right = {"code": room.daemon.entrance.grants.code_of(SEATS[0])}
    locked = room.ask("POST", "api/enter", right)
    assert (locked.status_code, locked.headers["retry-after"]) == (429, "60")
    assert "Wait 60 seconds" in locked.json()["said"]
    clock = room.daemon.clock
    room.daemon.clock = lambda: Ns(clock() + WINDOW_NS)
    assert room.ask("POST", "api/enter", right).status_code == 204


def test_without_a_cookie_there_is_one_answer_to_everything(room: Class) -> None:
    """Whatever the method, the path, the body: nothing is validated, and nobody learns what there is."""
    every = {(method.upper(), path) for path, ways in _openapi(room)["paths"].items() for method in ways}
    every |= {("GET", "/nothing"), ("PUT", "/"), ("GET", "/api/enter"), ("GET", "/index.html"), ("OPTIONS", "/")}
    every.discard(("POST", "/api/enter"))
    answers = {
        (answer.status_code, answer.content, tuple(sorted(answer.headers)))
        for method, path in every
        for answer in [room.ask(method, path[1:].replace("{", "").replace("}", ""), content=b"{")]
    }
    assert len(answers) == 1
    assert answers.pop()[0] == 403
    assert [room.ask("GET", path).status_code for path in ("", "enter", "enter/enter.js", "icon.svg")] == [200] * 4


def _openapi(room: Class) -> Any:
    return ask(room.here, "GET", "openapi.json").json()


@pytest.mark.parametrize(
    "path",
    [
        b"/enter/../api/state",
        b"/enter/%2e%2e/api/state",
        b"//api/state",
        b"/..%2f..%2fetc/passwd",
        b"/enter/%00",
        b"/%61pi/state",
    ],
)
def test_no_way_of_writing_a_path_leads_past(room: Class, path: bytes) -> None:
    """As bytes on the wire: a client library would tidy them up."""
    with socket.create_connection((LAN, room.daemon.entrance.listeners[0].port)) as bare:
        bare.sendall(
            b"GET %b HTTP/1.1\r\nHost: %b\r\nConnection: close\r\n\r\n" % (path, urlsplit(room.there).netloc.encode())
        )
        assert bare.makefile("rb").read().startswith(b"HTTP/1.1 403 ")


def test_a_seat_may_practise_at_its_own_place_only(room: Class) -> None:
    """And while the class plays, the teacher starts and stops it."""
    cookie = room.enter(SEATS[0])
    drill = {"drill": "grip from B to C", "click_bpm": 60}
    stranger = room.ask("GET", "api/state")
    assert room.ask("POST", "api/practice", drill, cookie).status_code == 200
    for seat in ("2", "7"):
        answer = room.ask("POST", "api/practice", {**drill, "seat": seat}, cookie)
        assert (answer.status_code, answer.content) == (403, stranger.content)
    assert room.ask("DELETE", "api/practice?seat=1", None, cookie).status_code == 200
    ask(room.here, "POST", "api/class", drill).raise_for_status()
    answer = room.ask("DELETE", "api/practice", None, cookie)
    assert (answer.status_code, answer.json()["said"]) == (
        422,
        "Your class is playing; your teacher starts and stops it.",
    )


def test_each_right_watches_what_it_may(room: Class) -> None:
    """A seat its own frames, the wall the wall's; the refusal of a socket is the same as of a page."""
    wall, seat, desk = (room.enter(one) for one in (WALL, SEATS[1], AT_THIS_MACHINE))
    for cookie, path in ((seat, "live?seat=2"), (wall, "live?wall"), (desk, "live"), (desk, "live?seat=1")):
        with room.socket(path, cookie) as opened:
            assert json.loads(opened.recv())["kind"] == "hello"
    stranger = room.ask("GET", "api/state").content
    for cookie, path in (
        ("", "live"),
        ("", "join"),
        (seat, "live"),
        (seat, "live?seat=1"),
        (seat, "live?seat=2&wall"),
        (seat, "live?seat=2&seat=1"),
        (wall, "live"),
        (wall, "live?seat=1"),
        (wall, "join"),
    ):
        with pytest.raises(InvalidStatus) as refused, room.socket(path, cookie):
            pass
        assert (refused.value.response.status_code, refused.value.response.body) == (403, stranger)


def test_an_old_code_and_an_old_cookie_open_nothing(room: Class) -> None:
    """A new code for a seat shuts out who came with the old one, what they watch included; so does leaving."""
    grants = room.daemon.entrance.grants
    old, cookie = grants.code_of(SEATS[0]), room.enter(SEATS[0])
    with room.socket("live?seat=1", cookie) as watching:
        watching.recv()
        renewed = ask(room.here, "POST", "api/ways/1").json()
        assert closed(watching) == (1008, "The code you entered with is no longer good.")
    assert room.ask("GET", "api/grant", cookie=cookie).status_code == 403
    assert room.ask("POST", "api/enter", {"code": old}).status_code == 403
    again = room.enter(SEATS[0])
    assert renewed["code"] == grants.code_of(SEATS[0]) != old
    assert room.ask("DELETE", "api/grant", cookie=again).status_code == 204
    assert room.ask("GET", "api/grant", cookie=again).status_code == 403


def closed(socket: Any) -> tuple[int, str] | None:
    """Why the other side closes the connection, when it does."""
    try:
        while True:
            socket.recv(timeout=20)
    except ConnectionClosed as end:
        return None if end.rcvd is None else (end.rcvd.code, end.rcvd.reason)


def test_who_sends_too_much_is_cut_off(room: Class) -> None:
    """A page asks for the clock once a second; hundreds at once are somebody else's, and end that connection only."""
    seat, wall = room.enter(SEATS[0]), room.enter(WALL)
    with room.socket("live?seat=1", seat) as flooding, room.socket("live?wall", wall) as watching:
        with contextlib.suppress(ConnectionClosed):
            for number in range(500):
                flooding.send(json.dumps({"kind": "clock", "sent": number}))
        assert closed(flooding) == (1008, "More than 30 frames a second.")
        watching.send(json.dumps({"kind": "clock", "sent": 1}))
        while json.loads(watching.recv(timeout=10))["kind"] != "clock":
            pass
    with room.socket("live?seat=1", seat) as huge:
        huge.send("x" * 100_000)
        assert (closed(huge) or (0, ""))[0] == 1009  # message too big (RFC 6455 section 7.4.1)


def test_a_viewer_that_stops_reading_is_dropped(room: Class, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its frames fill the system's buffers; a moment later nobody holds them any more."""
    monkeypatch.setattr(connection, "STALLED_S", 0.2)
    monkeypatch.setattr(protocols, "HANG_UP_S", 0.1)
    cookie = room.enter(AT_THIS_MACHINE)
    slow = slow_socket(room.there)
    head = f"GET /live HTTP/1.1\r\nHost: {urlsplit(room.there).netloc}\r\nCookie: {cookie}\r\n" + UPGRADE + "\r\n"
    with slow:
        slow.sendall(head.encode())
        wait_until(lambda: len(room.daemon.hub) == 1)
        while len(room.daemon.hub) == 1:  # the state is some kB; nobody reads it
            ask(room.here, "POST", "api/seat", {"seat": "1", "player": 1})
        wait_until(lambda: not room.daemon.hub)
        assert ask(room.here, "GET", "api/status").json()["pages"]["let_go"] == 1


def test_a_seat_that_is_taken_away_takes_its_code_along(room: Class) -> None:
    """Its number is not given again either."""
    cookie = room.enter(SEATS[1])
    ask(room.here, "DELETE", "api/seats/2").raise_for_status()
    assert room.ask("GET", "api/state", cookie=cookie).status_code == 403


def test_at_this_machine_nothing_needs_a_code(room: Class) -> None:
    """Not even a wrong cookie changes that."""
    assert ask(room.here, "GET", "api/grant", headers={"cookie": "chanterd-1=x"}).json()["role"] == "desk"
    with Viewing(room.here) as viewing:
        viewing.wait_for_kind("hello")


def test_the_teacher_gets_a_qr_code_for_each_seat_and_never_the_desks(room: Class) -> None:
    """The address in the list has the code in it; the wall shows no code of the desk."""
    ways = ask(room.here, "GET", "api/ways").json()
    assert [(one["seat"], one["name"]) for one in ways["seats"]] == [("1", "Ailsa"), ("2", "Bram")]
    assert ways["page"] == f"{room.there}enter"
    for one in ways["seats"]:
        assert parse_qs(urlsplit(one["url"]).query)["code"] == [one["code"]]
        picture = ask(room.here, "GET", f"api/ways/{one['seat']}.svg")
        assert picture.headers["content-type"] == "image/svg+xml"
        assert "<svg" in picture.text
    wall = room.enter(WALL)
    shown = room.ask("GET", "wall/", cookie=wall).text + room.ask("GET", "api/wall", cookie=wall).text
    assert room.daemon.entrance.grants.code_of(AT_THIS_MACHINE) not in shown


def test_a_foreign_host_or_origin_is_refused_over_the_network_too(room: Class) -> None:
    """Exact lists, of that listener only (RFC 9110 section 7.2, RFC 6454; from memory)."""
    port = room.daemon.entrance.listeners[0].port
    desk = room.enter(AT_THIS_MACHINE)
    tried = [
        {"host": f"localhost:{port}"},
        {"host": f"127.0.0.1:{port}"},
        {"origin": "http://evil.example"},
        {"origin": f"https://{LAN}:{port}"},
    ]
    for headers in tried:
        assert ask(room.there, "GET", "api/state", headers={"cookie": desk, **headers}).status_code == 403
    ours = {"cookie": desk, "origin": f"http://{LAN}:{port}"}
    assert ask(room.there, "GET", "api/state", headers=ours).status_code == 200
    assert ask(room.here, "GET", "api/state", headers={"host": f"{LAN}:{port}"}).status_code == 403


def test_without_a_network_nobody_is_invited(tmp_path: Path) -> None:
    """The list is empty, and a QR code says why there is none."""
    with served(tmp_path, [DemoSource(1)]) as (here, _):
        assert ask(here, "GET", "api/ways").json() == {"page": None, "fingerprint": None, "seats": []}
        assert "start chanterd with --lan" in ask(here, "GET", "api/ways/1.svg").json()["said"]
