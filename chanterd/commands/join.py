"""``chanterd join``: plays along in a class on another machine, with a chanter that is plugged in here."""

import asyncio
from dataclasses import dataclass
from pathlib import Path
from secrets import randbits
from typing import Annotated
from urllib.parse import parse_qs, urlsplit

import typer

from chanterd.commands.class_link import enter, stay
from chanterd.commands.options import PORT
from chanterd.commands.trust import trusted_at
from chanterd.config import ChanterdError
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.inputs import JOIN, open_input
from chanterd.hearing.joiner import Joiner
from chanterd.hearing.source import SourceStatus

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
    fingerprint: Annotated[
        str | None,
        typer.Option(metavar="DIGITS", help="Trust the certificate with this fingerprint, as the class shows it."),
    ] = None,
) -> None:
    """Play along in a class on another machine."""
    place = place_of(address)
    if source.strip().lower() == JOIN:
        raise ChanterdError("The input 'join' is a place in a class; name the port of your chanter.")
    opened = open_input(source, seed=randbits(32))  # two simulated players in one class are two
    trusted = trusted_at(place.page, tls_cert, fingerprint)
    entered = enter(place.page, code or place.code, trusted)
    joiner = Joiner(name, opened.name, opened.cue)

    def report(status: SourceStatus) -> None:
        typer.echo(status.said)

    opened.start(joiner.hear, report)
    try:
        asyncio.run(stay(entered, joiner))
    finally:
        opened.stop()
