"""The gate: one answer to everything that somebody may not do, before anything of the request is looked at."""

import asyncio
from typing import Any

import pytest
from starlette.requests import HTTPConnection

from chanterd.config import bundled
from chanterd.serving.access.gate import Gate, cookie_name, session_of
from chanterd.serving.access.grants import AT_THIS_MACHINE, WALL, Grant, Grants, Role
from chanterd.serving.access.listeners import Listener, Reached
from chanterd.serving.access.rights import page_files

LAN = Listener("192.0.2.7", 8437)
FILES = page_files(bundled("web"))
SEAT = Grant(Role.SEAT, "1")


class Asked:
    """What became of one request."""

    def __init__(
        self, grants: Grants, *, kind: str = "http", path: str = "/api/state", cookie: str = "", **more: Any
    ) -> None:
        self.sent: list[dict[str, Any]] = []
        self.grant: Grant | None = None
        self.reached = False
        headers = [(b"cookie", cookie.encode())] if cookie else []
        scope = {"type": kind, "path": path, "method": "GET", "headers": headers, **more.pop("scope", {})}
        app = Gate(self._app, grants, FILES)
        asyncio.run((Reached(app, LAN) if more.get("lan", True) else app)(scope, self._receive, self._send))

    async def _app(self, scope: Any, _receive: Any, _send: Any) -> None:
        self.reached = True
        session = session_of(HTTPConnection(scope))
        self.grant = None if session is None else session.grant

    async def _receive(self) -> Any:
        raise AssertionError("the request was looked at")

    async def _send(self, message: Any) -> None:
        self.sent.append(message)

    @property
    def answer(self) -> tuple[Any, ...]:
        """Status, headers and body."""
        return self.sent[0]["status"], self.sent[0]["headers"], self.sent[1]["body"]


def cookie_for(grants: Grants, grant: Grant) -> str:
    """The header of whoever has entered."""
    return f"{cookie_name(LAN.port)}={grants.enter(grants.code_of(grant))}"


def test_without_a_cookie_everything_gets_one_identical_answer() -> None:
    """What is there, what is not, what a seat may do and what nobody may; and nothing of the body is read."""
    grants = Grants(["1"])
    paths = ["/api/state", "/api/nothing", "/api/practice", "/seat/1", "/wall/", "/live", "/desk", "/../etc/passwd"]
    answers = [
        Asked(grants, path=path, scope={"method": method}).answer for path in paths for method in ("GET", "POST")
    ]
    assert answers[0][0] == 403
    assert all(answer == answers[0] for answer in answers)
    socket = Asked(grants, kind="websocket", path="/live").sent
    assert [message["type"] for message in socket] == ["websocket.http.response.start", "websocket.http.response.body"]
    assert (socket[0]["status"], socket[1]["body"]) == (403, answers[0][2])


def test_what_a_right_does_not_open_gets_the_same_answer() -> None:
    """So a learner cannot find out what there is beside their seat."""
    grants = Grants(["1", "2"])
    stranger = Asked(grants).answer
    for path in ("/seat/2", "/api/class", "/nothing"):
        assert Asked(grants, path=path, cookie=cookie_for(grants, SEAT)).answer == stranger


def test_a_cookie_says_who_it_is() -> None:
    """Among other cookies too; those of another port of the same host are another program's."""
    grants = Grants(["1"])
    mine = cookie_for(grants, SEAT)
    assert Asked(grants, cookie=f"theme=dark; {mine}; x=y").grant == SEAT
    for cookie in (
        mine.replace("8437", "8438"),
        mine[:-1],
        f"{cookie_name(8437)}=",
        "=;;",
        "é=1",
        mine.replace("=", ":"),
    ):
        assert not Asked(grants, cookie=cookie).reached


def test_on_this_machine_everything_is_open_and_no_cookie_is_read() -> None:
    """Also one that would open less."""
    grants = Grants(["1"])
    asked = Asked(grants, path="/api/class", cookie=cookie_for(grants, WALL), lan=False)
    assert asked.grant == AT_THIS_MACHINE


def test_the_listener_decides_and_not_the_peer() -> None:
    """Somebody who seems to be this machine needs a code through the network's listener all the same."""
    peer = {"client": ("127.0.0.1", 1), "server": ("127.0.0.1", 8437)}
    assert not Asked(Grants(), scope=peer).reached


@pytest.mark.parametrize("forged", ["chanterd.session", "chanterd.listener"])
def test_no_header_can_mark_a_request(forged: str) -> None:
    """The marks are the server's, not the client's."""
    headers = [(forged.encode(), b"desk"), (b"x-forwarded-for", b"127.0.0.1")]
    assert not Asked(Grants(), scope={"headers": headers}).reached
