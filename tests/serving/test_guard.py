"""Who may talk to the daemon, and what a page of ours may load.

Host and Origin: RFC 9110 section 7.2 and RFC 6454; Content-Security-Policy: W3C CSP Level 3 (all from memory).
"""

import asyncio
from typing import Any

import pytest

from chanterd.serving.guard import Guard, content_security_policy

PORT = 8437
OURS = f"127.0.0.1:{PORT}"


async def echo(scope: Any, receive: Any, send: Any) -> None:  # noqa: ARG001 - an application's shape
    """The application behind the guard: answers 200, or accepts a socket."""
    if scope["type"] == "websocket":
        await send({"type": "websocket.accept", "headers": []})
        return
    await send({"type": "http.response.start", "status": 200, "headers": [(b"cache-control", b"max-age=9")]})
    await send({"type": "http.response.body", "body": b""})


def ask(kind: str, headers: list[tuple[str, str]], port: int = PORT) -> tuple[int, dict[str, str], bytes]:
    """Status (101 for an accepted socket), headers and body of the answer."""
    sent: list[dict[str, Any]] = []

    async def send(message: Any) -> None:
        sent.append(message)

    async def receive() -> dict[str, str]:
        return {"type": f"{kind}.connect"}

    pairs = [(name.encode(), value.encode()) for name, value in headers]
    scope = {"type": kind, "path": "/", "method": "GET", "headers": pairs}
    asyncio.run(Guard(echo, port)(scope, receive, send))
    start = sent[0]
    answered = {name.decode(): value.decode() for name, value in start["headers"]}
    return start.get("status", 101), answered, sent[-1].get("body", b"")


@pytest.mark.parametrize("kind", ["http", "websocket"])
@pytest.mark.parametrize("host", [OURS, f"localhost:{PORT}"])
@pytest.mark.parametrize("origin", [None, f"http://{OURS}", f"http://localhost:{PORT}"])
def test_our_own_page_and_programs_without_origin_are_let_in(kind: str, host: str, origin: str | None) -> None:
    """A browser on our page sends its Origin, a program that is no browser sends none."""
    headers = [("host", host), *([("origin", origin)] if origin else [])]
    assert ask(kind, headers)[0] in (200, 101)


@pytest.mark.parametrize("kind", ["http", "websocket"])
@pytest.mark.parametrize(
    "host",
    [
        "",
        "127.0.0.1",
        "localhost",
        f"127.0.0.1:{PORT + 1}",
        f"evil.example:{PORT}",  # a foreign name that resolves to this machine (DNS rebinding)
        f"127.0.0.1.evil.example:{PORT}",
        f"localhost.:{PORT}",
        f"LOCALHOST:{PORT}",
        f"0.0.0.0:{PORT}",
        f"[::1]:{PORT}",
        f"user@127.0.0.1:{PORT}",
        f"127.0.0.1:{PORT}, evil.example",
        f" 127.0.0.1:{PORT}",
    ],
)
def test_a_foreign_host_is_refused(kind: str, host: str) -> None:
    """The list is exact: another name, port or spelling is not this daemon."""
    status, _, body = ask(kind, [("host", host)])
    assert status == 403
    assert b"is not chanterd's; open the page at http://127.0.0.1:8437" in body


@pytest.mark.parametrize("kind", ["http", "websocket"])
@pytest.mark.parametrize(
    "origin",
    [
        "null",  # a sandboxed frame on any site, or a file
        "",
        "http://evil.example",
        f"http://evil.example:{PORT}",
        f"http://127.0.0.1:{PORT + 1}",
        "http://127.0.0.1",
        f"https://127.0.0.1:{PORT}",
        f"http://127.0.0.1:{PORT}/",
        f"http://127.0.0.1:{PORT}.evil.example",
        f"http://{OURS} http://evil.example",
        "file://",
    ],
)
def test_a_foreign_origin_is_refused(kind: str, origin: str) -> None:
    """Another site's page cannot reach the daemon, though the browser sends its request to us."""
    status, _, body = ask(kind, [("host", OURS), ("origin", origin)])
    assert status == 403
    assert b"may not talk to chanterd" in body


@pytest.mark.parametrize("name", ["host", "origin"])
def test_two_of_a_header_are_refused_if_one_is_foreign(name: str) -> None:
    """Nobody gets in by saying both."""
    ours = {"host": OURS, "origin": f"http://{OURS}"}
    headers = [("host", OURS), (name, ours[name]), (name, "http://evil.example")]
    assert ask("http", headers)[0] == 403


def test_on_the_webs_own_port_a_browser_leaves_the_port_out() -> None:
    """On port 80, and only there, the bare names are ours."""
    assert ask("http", [("host", "localhost"), ("origin", "http://localhost")], port=80)[0] == 200
    assert ask("http", [("host", "localhost")])[0] == 403


@pytest.mark.parametrize("kind", ["http", "websocket"])
@pytest.mark.parametrize("host", [OURS, "evil.example"])
def test_every_answer_carries_the_policy(kind: str, host: str) -> None:
    """Answers and refusals alike say what a page of ours may load, and who may embed it: nobody."""
    _, headers, _ = ask(kind, [("host", host)])
    policy = dict(part.split(" ", 1) for part in headers["content-security-policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert policy["frame-ancestors"] == "'none'"
    assert policy["script-src"] == policy["style-src"] == "'self'"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    # COOP and COEP make performance.now() exact to 5 us instead of 100 (MDN, DOMHighResTimeStamp).
    assert (headers["cross-origin-opener-policy"], headers["cross-origin-embedder-policy"]) == (
        "same-origin",
        "require-corp",
    )
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-cache"


def test_the_policy_names_no_place_but_this_machine() -> None:
    """No wildcard, no 'unsafe-inline', no data: and no other host; sockets on our own names only."""
    policy = content_security_policy([OURS])
    for word in ("*", "unsafe", "data:", "blob:", "http:", "https:"):
        assert word not in policy
    assert f"connect-src 'self' ws://{OURS};" in policy
