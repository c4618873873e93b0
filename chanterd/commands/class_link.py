"""The link of ``chanterd join`` to a class: the code, the connection, and again when it breaks."""

import asyncio
import contextlib
import json
import ssl
import time
import urllib.error
import urllib.request
from dataclasses import dataclass

import typer
from websockets.asyncio.client import ClientConnection, connect
from websockets.exceptions import ConnectionClosed, InvalidHandshake, WebSocketException

from chanterd.commands.trust import not_trusted
from chanterd.config import ChanterdError
from chanterd.hearing.joiner import QUICK_NS, SIDE_LINKS, SIDE_S, Joiner
from chanterd.music.units import NS_PER_S, Ns

TICK_S = 0.002
"""How often to look for what was played, seconds."""
AGAIN_S = 1.0
"""How long to wait before trying a broken link again, seconds."""
ANSWER_S = 5.0
"""How long the class has to answer, seconds."""
PING_S, SILENT_S = 2.0, 4.0
"""How often the link is tried, and after how long without an answer it is down, seconds: what is played meanwhile is
kept for ten seconds only."""
SHUT = (403, 404)
LOCKED = 429
NOT_ALLOWED = 1008
"""WebSocket close code "policy violation" (RFC 6455 section 7.4.1)."""


@dataclass(frozen=True, slots=True)
class Entered:
    """A class that one has entered."""

    page: str
    """Its address, with a slash at the end."""
    cookie: str
    """The session; empty where none is needed."""
    trusted: ssl.SSLContext | None

    def socket(self) -> connect:
        """A link to it, not yet open."""
        headers = {"Cookie": self.cookie} if self.cookie else {}
        url = self.page.replace("http", "ws", 1) + "join"
        return connect(
            url,
            additional_headers=headers,
            ssl=self.trusted,
            open_timeout=ANSWER_S,
            ping_interval=PING_S,
            ping_timeout=SILENT_S,
            close_timeout=AGAIN_S,  # a link that is dead already is not waited for
        )


def enter(page: str, code: str | None, trusted: ssl.SSLContext | None) -> Entered:
    """Enter a class. Raises ChanterdError if the class cannot be reached or says no."""
    if code is None:
        return Entered(page, "", trusted)
    body = json.dumps({"code": code}).encode()
    request = urllib.request.Request(f"{page}api/enter", body, {"content-type": "application/json"})  # noqa: S310 - http or https, see place_of
    try:
        with urllib.request.urlopen(request, timeout=ANSWER_S, context=trusted) as answer:  # noqa: S310
            return Entered(page, str(answer.headers.get("set-cookie", "")).split(";")[0], trusted)
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
        return not_trusted(page)
    return f"The class at {page} cannot be reached ({why}); check the address, and that both are on one network."


async def stay(entered: Entered, joiner: Joiner) -> None:
    """Link after link, until Ctrl-C. Raises ChanterdError if the class says no."""
    reached = False
    while True:
        try:
            async with entered.socket() as connection:
                await connection.send(joiner.hello())
                await _talk(entered, connection, joiner, first=not reached)
                reached = True
        except InvalidHandshake as error:
            status = getattr(getattr(error, "response", None), "status_code", None)
            if status in SHUT:
                why = "The code is no longer good." if entered.cookie else "You need the code of your seat; add --code."
                raise ChanterdError(f"The class at {entered.page} does not let you in. {why}") from error
        except (OSError, WebSocketException) as error:
            if not reached and joiner.seat is None:
                raise ChanterdError(_not_reached(entered.page, error)) from error
            reached = True
        joiner.unlink()
        typer.echo("The link to the class is down. What you play in the next ten seconds is sent when it is back.")
        await asyncio.sleep(AGAIN_S)


async def _talk(entered: Entered, connection: ClientConnection, joiner: Joiner, *, first: bool) -> None:
    """Send what is due and take what arrives, until the link is gone. Raises WebSocketException, ChanterdError."""

    async def send() -> None:
        while True:
            for frame in joiner.due(_now()):
                await connection.send(frame)
            await asyncio.sleep(TICK_S)

    tasks = [asyncio.ensure_future(_compare(entered, joiner)) for _ in range(SIDE_LINKS)] if first else []
    started = False
    try:
        async for text in connection:
            joiner.take(str(text), _now())
            if not started:
                started = True
                tasks.append(asyncio.ensure_future(send()))
                where = f"You are at seat {joiner.seat}. Ctrl-C leaves."
                typer.echo(where if first else f"The link is back. {where}")
    except ConnectionClosed as end:
        if end.rcvd is not None and end.rcvd.code == NOT_ALLOWED:
            raise ChanterdError(f"The class has ended the link. {end.rcvd.reason}") from end
        raise
    finally:
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)


async def _compare(entered: Entered, joiner: Joiner) -> None:
    """Compare clocks on a link of its own, while it is new; without it, it takes longer until they are known well."""
    with contextlib.suppress(OSError, WebSocketException, TimeoutError):
        async with asyncio.timeout(SIDE_S), entered.socket() as link:

            async def ask() -> None:
                while True:
                    await link.send(joiner.question(_now()))
                    await asyncio.sleep(QUICK_NS / NS_PER_S)

            asking = asyncio.ensure_future(ask())
            try:
                async for text in link:
                    joiner.take_aside(str(text), _now())
            finally:
                asking.cancel()
                await asyncio.gather(asking, return_exceptions=True)


def _now() -> Ns:
    return Ns(time.perf_counter_ns())
