"""Where the daemon can be reached: always on this machine, and with ``--lan`` on its network addresses too.

Each address is bound by itself, never all at once: so it is known for certain through which one a request arrived.
That decides whether a code is needed. The peer's address does not: it may be anything.
"""

import ipaddress
import socket
from collections.abc import Sequence
from dataclasses import dataclass

from starlette.types import ASGIApp, Receive, Scope, Send

from chanterd.config import ChanterdError

LOOPBACK = "127.0.0.1"
EVERY = "all"
"""What ``--lan`` without an address means."""
ELSEWHERE = "192.0.2.1"
"""An address that no machine has (TEST-NET-1, RFC 5737): the way there is the way into the network."""
_KEY = "chanterd.listener"
_USUAL_PORTS = {"http": 80, "https": 443}
"""A browser leaves these out of Host and Origin."""


@dataclass(frozen=True, slots=True)
class Listener:
    """One address on which the daemon can be reached."""

    address: str
    """IPv4 or IPv6, as digits."""
    port: int
    tls: bool = False
    needs_code: bool = True
    names: tuple[str, ...] = ()
    """By what other names it may be called."""

    @property
    def scheme(self) -> str:
        """``http``, or ``https`` with TLS."""
        return "https" if self.tls else "http"

    @property
    def hosts(self) -> tuple[str, ...]:
        """Every spelling that a request's Host header may have; the first is the one for an address bar."""
        names = [f"[{self.address}]" if ":" in self.address else self.address, *self.names]
        with_port = tuple(f"{name}:{self.port}" for name in names)
        return (*with_port, *names) if self.port == _USUAL_PORTS[self.scheme] else with_port

    @property
    def page(self) -> str:
        """Where its page is, with a slash at the end."""
        return f"{self.scheme}://{self.hosts[0]}/"


def on_this_machine(port: int) -> Listener:
    """The listener that only this machine can reach, and that needs no code."""
    return Listener(LOOPBACK, port, needs_code=False, names=("localhost",))


class Reached:
    """ASGI wrapper, one for each listener but this machine's own: marks what arrives through it."""

    def __init__(self, app: ASGIApp, listener: Listener) -> None:
        self._app = app
        self._listener = listener

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass it on, marked."""
        await self._app({**scope, _KEY: self._listener}, receive, send)


def listener_of(scope: Scope) -> Listener | None:
    """Through which listener a request arrived; None: through this machine's own."""
    found: Listener | None = scope.get(_KEY)
    return found


def chosen_addresses(words: str, there: Sequence[str]) -> list[str]:
    """The addresses that ``--lan`` means, out of those that this machine has now; the first is the one to show.

    Raises ChanterdError if what it names is none.
    """
    plain = words.strip().strip("[]")
    if plain.lower() == EVERY:
        return list(there)
    try:
        address = ipaddress.ip_address(plain)
    except ValueError:
        address = None
    if address is None or address.is_unspecified or address.is_multicast or str(address) == LOOPBACK:
        raise ChanterdError(
            f"The address --lan is '{words}'; it must be one of this machine's own on the network"
            f"{_such_as(there)}. Leave it out to use them all."
        )
    return [str(address)]


def _such_as(there: Sequence[str]) -> str:
    return f", such as {there[0]}" if there else ""


def addresses_of_this_machine() -> list[str]:
    """Its addresses on every network, the one that leads into the network first; none that needs a zone (RFC 4007)."""
    # Only here, since whoever plays alone needs no network.
    import psutil  # noqa: PLC0415

    kinds = (socket.AF_INET, socket.AF_INET6)
    found = [one.address for known in psutil.net_if_addrs().values() for one in known if one.family in kinds]
    usable = [one for one in found if "%" not in one and _is_ours(ipaddress.ip_address(one))]
    first = _way_out()
    return sorted(dict.fromkeys(usable), key=lambda one: (one != first, ":" in one))


def _is_ours(address: ipaddress.IPv4Address | ipaddress.IPv6Address) -> bool:
    return not (address.is_loopback or address.is_unspecified or (address.version == 6 and address.is_link_local))  # noqa: PLR2004


def _way_out() -> str | None:
    """Our address as the network would see it. Nothing is sent: connecting a UDP socket only looks up the way."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((ELSEWHERE, 9))
        except OSError:
            return None
        name: tuple[str, int] = probe.getsockname()
        return name[0]
