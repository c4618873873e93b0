"""What the commands that serve share: whether the network may reach the daemon, and what to say about it."""

import datetime as dt
import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperCommand

from chanterd.config import ChanterdError
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.listeners import EVERY, addresses_of_this_machine, chosen_addresses
from chanterd.serving.access.tls import BROWSERS_WORDS, Certificate, fingerprint, self_signed, tls_context
from chanterd.serving.daemon import Daemon

LAN = "--lan"
NO_ADDRESS = "This machine has no network address now. The class opens to the network as soon as there is one."
MOVED = "The network addresses of this machine have changed."
JOINERS_WORDS = "'chanterd join' takes the same fingerprint: add --fingerprint and the line above."

Lan = Annotated[
    str | None,
    typer.Option(
        LAN,
        metavar="[ADDRESS]",
        help="Open the class to the network, with codes: on all addresses of this machine, or on one.",
    ),
]
TlsCert = Annotated[
    Path | None,
    typer.Option("--tls-cert", metavar="FILE", help="Your certificate, PEM: pages over the network as https."),
]
TlsKey = Annotated[Path | None, typer.Option("--tls-key", metavar="FILE", help="The key of that certificate, PEM.")]
TlsSelfSigned = Annotated[
    bool, typer.Option("--tls-self-signed", help="https over the network with a certificate made here.")
]


class NetworkCommand(TyperCommand):
    """A command whose ``--lan`` may be followed by an address, or by nothing."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:  # noqa: ANN401 - the parser's own type, which moved between versions of typer
        """Read the line; ``--lan`` without an address means all of them."""
        return super().parse_args(ctx, list(_with_address(args)))


def _with_address(args: list[str]) -> Iterator[str]:
    for place, word in enumerate(args):
        yield word
        follows = args[place + 1 : place + 2]
        if word == LAN and (not follows or follows[0].startswith("-")):
            yield EVERY


def network_from(
    lan: str | None, folder: Path, cert: Path | None, key: Path | None, *, made_here: bool
) -> Network | None:
    """The network that these options mean; None without ``--lan``.

    Raises ChanterdError for options that do not go together, an address that is none of this machine's, and files
    that cannot be used.
    """
    chosen = made_here or cert is not None or key is not None
    if lan is None:
        if chosen:
            raise ChanterdError(
                "TLS is for the network: add --lan, or leave --tls-cert, --tls-key and --tls-self-signed out."
            )
        return None
    if made_here and (cert is not None or key is not None):
        raise ChanterdError("--tls-self-signed makes a certificate; leave it out, or --tls-cert and --tls-key.")
    if (cert is None) != (key is None):
        missing = "--tls-key" if key is None else "--tls-cert"
        raise ChanterdError(f"A certificate and its key belong together; add {missing}.")
    look = addresses_of_this_machine if lan.strip().lower() == EVERY else None

    def made_for(addresses: Sequence[str]) -> Network:
        if made_here:
            os.umask(0o077)  # the key is its owner's only
            files = self_signed(folder, addresses, dt.datetime.now(dt.UTC))
            return Network(addresses, tls_context(files), fingerprint(files.certificate), look, made_for)
        tls = None if cert is None or key is None else tls_context(Certificate(cert, key))
        return Network(addresses, tls, None, look, made_for)

    return made_for(chosen_addresses(lan, addresses_of_this_machine()))


def network_lines(daemon: Daemon) -> Iterator[str]:
    """A line for each part of the class with the address that leads in, and what to say about the certificate."""
    entrance = daemon.entrance
    if not entrance.listeners:
        yield NO_ADDRESS
    for part, way in entrance.ways_in(daemon.seats):
        yield f"{part}: {way}"
    others = [listener.page for listener in entrance.listeners[1:]]
    if others:
        yield f"The same codes open {' and '.join(others)}"
    if entrance.fingerprint is not None:
        yield BROWSERS_WORDS
        yield f"  {entrance.fingerprint}"
        yield JOINERS_WORDS


def announce(daemon: Daemon) -> None:
    """Print them."""
    for line in network_lines(daemon):
        typer.echo(line)


def announce_again(daemon: Daemon) -> None:
    """Print them after a change."""
    typer.echo(MOVED)
    announce(daemon)
