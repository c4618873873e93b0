"""``chanterd join``: plays along in a class on another machine, with a chanter that is plugged in here."""

import asyncio
import contextlib
import json
import ssl
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated
from urllib.parse import parse_qs, urlsplit

import typer
from websockets.asyncio.client import ClientConnection, connect
from websockets.exceptions import ConnectionClosed, InvalidHandshake, WebSocketException

from chanterd.commands.options import PORT
from chanterd.config import ChanterdError
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.inputs import JOIN, open_input
from chanterd.hearing.joiner import Joiner
from chanterd.hearing.source import SourceStatus
from chanterd.music.units import Ns

TICK_S = 0.002
"""How often to look for what was played, seconds."""
AGAIN_S = 1.0
"""How long to wait before trying a broken link again, seconds."""
ANSWER_S = 10.0
"""How long the class has to answer, seconds."""
SHUT = (403, 404)
LOCKED = 429
NOT_ALLOWED = 1008
"""WebSocket close code "policy violation" (RFC 6455 section 7.4.1)."""

app = typer.Typer(add_completion=False)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a class is."""

    page: str
    """Its address, with a slash at the end."""
    code: str | None
    """The code in the address, if there is one."""


def place_of(words: str) -> Place:
    """The class at an address as people type or copy it. Raises ChanterdError if it is none."""
    url = urlsplit(words if "://" in words else f"http://{words}")
    try:
        port = url.port or (443 if url.scheme == "https" and "://" in words else PORT)
    except ValueError:
        port = 0
    if url.scheme not in ("http", "https") or not url.hostname or not port:
        raise ChanterdError(
            f"The address is '{words}'; it must be like 192.168.1.20:{PORT}, or the whole line that the class printed."
        )
    host = f"[{url.hostname}]" if ":" in url.hostname else url.hostname
    return Place(f"{url.scheme}://{host}:{port}/", parse_qs(url.query).get("code", [None])[0])


@app.command()
def join(
    address: Annotated[str, typer.Argument(metavar="ADDRESS", help="Of the class, such as 192.168.1.20:8437.")],
    source: Annotated[str, typer.Option("--input", metavar="INPUT", help=INPUT_HELP)],
    code: Annotated[str | None, typer.Option(metavar="CODE", help="Of your seat, or of the desk.")] = None,
    name: Annotated[str | None, typer.Option(metavar="NAME", help="Who plays.")] = None,
    tls_cert: Annotated[
        Path | None, typer.Option("--tls-cert", metavar="FILE", help="The class's own certificate, PEM, to trust.")
    ] = None,
) -> None:
    """Play along in a class on another machine."""
    place = place_of(address)
    if source.strip().lower() == JOIN:
        raise ChanterdError("The input 'join' is a place in a class; name the port of your chanter.")
    opened = open_input(source)
    trusted = _trusted(tls_cert) if place.page.startswith("https:") else None
    cookie = _enter(place.page, code or place.code, trusted)
    joiner = Joiner(name, opened.name)

    def report(status: SourceStatus) -> None:
        typer.echo(status.said)

    opened.start(joiner.hear, report)
    try:
        asyncio.run(_stay(place.page, cookie, joiner, trusted))
    finally:
        opened.stop()


def _trusted(certificate: Path | None) -> ssl.SSLContext:
    try:
        return ssl.create_default_context(cafile=certificate)
    except OSError as error:
        raise ChanterdError(f"{certificate}: cannot be used as a certificate ({error}); give a PEM file.") from error


def _enter(page: str, code: str | None, trusted: ssl.SSLContext | None) -> str:
    """The session's cookie; empty without a code. Raises ChanterdError if the class cannot be reached or says no."""
    if code is None:
        return ""
    body = json.dumps({"code": code}).encode()
    request = urllib.request.Request(f"{page}api/enter", body, {"content-type": "application/json"})  # noqa: S310 - http or https, see place_of
    try:
        with urllib.request.urlopen(request, timeout=ANSWER_S, context=trusted) as answer:  # noqa: S310
            return str(answer.headers.get("set-cookie", "")).split(";")[0]
    except urllib.error.HTTPError as error:
        if error.code == LOCKED:
            raise ChanterdError("The class has had too many wrong codes; wait a minute, then try again.") from error
        said = f"The code '{code}' opens nothing at {page}; ask your teacher for the right one."
        raise ChanterdError(said) from error
    except OSError as error:
        raise ChanterdError(_not_reached(page, error)) from error


def _not_reached(page: str, error: Exception) -> str:
    why = getattr(error, "reason", error)
    if isinstance(why, ssl.SSLCertVerificationError):
        return (
            f"The certificate of {page} is not one that this machine trusts. Copy 'tls-certificate.pem' from the data "
            "folder of the class, and name it with --tls-cert."
        )
    return f"The class at {page} cannot be reached ({why}); check the address, and that both are on one network."


async def _stay(page: str, cookie: str, joiner: Joiner, trusted: ssl.SSLContext | None) -> None:
    """Link after link, until Ctrl-C. Raises ChanterdError if the class says no."""
    reached = False
    while True:
        try:
            url = page.replace("http", "ws", 1) + "join"
            headers = {"Cookie": cookie} if cookie else {}
            async with connect(url, additional_headers=headers, ssl=trusted, open_timeout=ANSWER_S) as connection:
                await connection.send(joiner.hello())
                await _talk(connection, joiner, first=not reached)
                reached = True
        except InvalidHandshake as error:
            status = getattr(getattr(error, "response", None), "status_code", None)
            if status in SHUT:
                why = "You need the code of your seat; add --code." if not cookie else "The code is no longer good."
                raise ChanterdError(f"The class at {page} does not let you in. {why}") from error
        except (OSError, WebSocketException) as error:
            if not reached and joiner.seat is None:
                raise ChanterdError(_not_reached(page, error)) from error
            reached = True
        joiner.unlink()
        typer.echo("The link to the class is down. What you play in the next ten seconds is sent when it is back.")
        await asyncio.sleep(AGAIN_S)


async def _talk(connection: ClientConnection, joiner: Joiner, *, first: bool) -> None:
    """Send what is due and take what arrives, until the link is gone. Raises WebSocketException, ChanterdError."""

    async def send() -> None:
        while True:
            for frame in joiner.due(_now()):
                await connection.send(frame)
            await asyncio.sleep(TICK_S)

    sending: asyncio.Task[None] | None = None
    try:
        async for text in connection:
            joiner.take(str(text), _now())
            if sending is None:
                sending = asyncio.create_task(send())
                where = f"You are at seat {joiner.seat}. Ctrl-C leaves."
                typer.echo(where if first else f"The link is back. {where}")
    except ConnectionClosed as end:
        if end.rcvd is not None and end.rcvd.code == NOT_ALLOWED:
            raise ChanterdError(f"The class has ended the link. {end.rcvd.reason}") from end
        raise
    finally:
        if sending is not None:
            sending.cancel()
            with contextlib.suppress(asyncio.CancelledError, WebSocketException):
                await sending


def _now() -> Ns:
    return Ns(time.perf_counter_ns())
