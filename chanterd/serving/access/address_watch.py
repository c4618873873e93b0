"""Follows the addresses of this machine while the daemon runs: Wi-Fi that comes up late opens the class too.

An address is looked for calmly, every few seconds, and one that is gone is given up only after several looks: what was
bound there works again by itself if it comes back soon.
"""

import asyncio
import logging
import ssl
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from chanterd.config import ChanterdError
from chanterd.serving.access.door import Door
from chanterd.serving.access.entrance import Entrance

LOG = logging.getLogger(__name__)

LOOK_S = 3.0
"""How often to look, seconds."""
GONE_AFTER = 4
"""An address that is missing this many looks in a row is gone: our own choice, as the one above."""
CERTIFICATE = "certificate"


@dataclass(frozen=True, slots=True)
class Network:
    """Where else than on this machine the daemon can be reached."""

    addresses: Sequence[str]
    """Of this machine, each once; the first is the one to show."""
    tls: ssl.SSLContext | None = None
    fingerprint: str | None = None
    """Of a certificate that nobody else vouches for."""
    look: Callable[[], Sequence[str]] | None = None
    """The addresses that this machine has now; None: it is to be reached at those above and never at others."""
    renewed: "Callable[[Sequence[str]], Network] | None" = None
    """The same for other addresses, with a certificate that covers them."""


class AddressWatch:
    """Opens a door at each address that appears, and shuts the doors of those that are gone."""

    def __init__(
        self,
        entrance: Entrance,
        doors: Iterable[Door],
        open_at: Callable[[str, ssl.SSLContext | None], Door],
        shut: Callable[[Door], None],
        changed: Callable[[], None],
    ) -> None:
        """``open_at`` raises ChanterdError where it cannot; ``changed`` is called when there are other doors."""
        self._entrance = entrance
        self._doors = {door.listener.address: door for door in doors}
        self._open_at = open_at
        self._shut = shut
        self._changed = changed
        self._missing: dict[str, int] = {}
        self._refused: dict[str, str] = {}
        """What was said last about an address, or the certificate, that could not be had."""

    async def run(self, network: Network) -> None:
        """Look until it is cancelled."""
        if network.look is None:
            return
        while True:
            await asyncio.sleep(LOOK_S)
            await self.take(network, await asyncio.to_thread(network.look))

    async def take(self, network: Network, there: Sequence[str]) -> None:
        """Follow what was seen."""
        missing = {address: self._missing.get(address, 0) + 1 for address in self._doors if address not in there}
        self._missing = missing
        gone = [address for address, looks in missing.items() if looks >= GONE_AFTER]
        if not gone and all(address in self._doors for address in there):
            return
        kept = [address for address in self._doors if address in missing and address not in gone]
        wanted = [*there, *kept]
        try:
            renewed = network if network.renewed is None else await asyncio.to_thread(network.renewed, wanted)
        except ChanterdError as error:  # a certificate that is being replaced, a full disk: the next look tries again
            self._warn(CERTIFICATE, error)
            return
        self._refused.pop(CERTIFICATE, None)
        for address in gone:
            self._shut(self._doors.pop(address))
        opened = [address for address in there if address not in self._doors and self._opens(address, renewed.tls)]
        if not gone and not opened:
            return
        for door in self._doors.values():
            door.certify(renewed.tls)
        self._entrance.fingerprint = renewed.fingerprint
        self._entrance.listeners = tuple(self._doors[one].listener for one in wanted if one in self._doors)
        self._changed()

    def _opens(self, address: str, tls: ssl.SSLContext | None) -> bool:
        try:
            self._doors[address] = self._open_at(address, tls)
        except ChanterdError as error:  # not ready yet, or taken: the next look tries again
            self._warn(address, error)
            return False
        self._refused.pop(address, None)
        return True

    def _warn(self, what: str, error: ChanterdError) -> None:
        """Say it once, and once more only when it has changed."""
        if self._refused.get(what) != str(error):
            LOG.warning("%s", error)
        self._refused[what] = str(error)
