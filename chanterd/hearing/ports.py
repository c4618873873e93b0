"""The MIDI input ports there are now, and which of them a text means."""

import re
import time
from collections.abc import Sequence
from dataclasses import dataclass

from chanterd.config import ChanterdError
from chanterd.hearing.client import Client
from chanterd.hearing.driver import Api, apis_here, open_client
from chanterd.trade.units import NS_PER_MS

RETRY_NS = 2000 * NS_PER_MS
"""Between two tries to reach a driver that did not work: soon enough for who has just started it."""

_NUMBERS = re.compile(r"( \d+:\d+| \d+)$")
"""What ALSA (client:port) and WinMM (a count) put behind a name; it may differ when the chanter is plugged in again."""


@dataclass(frozen=True, slots=True)
class PortName:
    """A MIDI input port as the system calls it, and the API that knows it."""

    api: str
    name: str


class AmbiguousPortError(ChanterdError):
    """The text asked for means more than one port."""


def find_port(asked: str, ports: Sequence[PortName]) -> PortName | None:
    """The port of that name, else the only one whose name contains it; case is ignored. None if there is none.

    A whole name comes before a part, and an API before those after it in ``ports``, so that a chanter reached in two
    ways is not ambiguous. Raises AmbiguousPortError naming the ports that match equally well.
    """
    wanted = asked.casefold()
    plain = _NUMBERS.sub("", wanted)
    rules = (
        lambda name: name == wanted,
        lambda name: _NUMBERS.sub("", name) == plain,
        lambda name: wanted in name,
    )
    for rule in rules:
        for api in dict.fromkeys(port.api for port in ports):
            found = [port for port in ports if port.api == api and rule(port.name.casefold())]
            if len(found) > 1:
                names = ", ".join(f"'{port.name}'" for port in found)
                raise AmbiguousPortError(
                    f"'{asked}' fits {len(found)} MIDI ports, {names}: name more of the one you mean."
                )
            if found:
                return found[0]
    return None


def list_ports() -> list[PortName]:
    """All MIDI input ports there are now, by every API that works here; if none works, see ``driver.no_driver``."""
    clients = Clients()
    try:
        return [place.port for place in clients.look()]
    finally:
        clients.close()


@dataclass(frozen=True, slots=True)
class Place:
    """Where a port was seen."""

    port: PortName
    api: Api
    index: int


class Clients:
    """One RtMidi client for each API that works, kept open, since opening one is what costs."""

    def __init__(self) -> None:
        self.open: dict[str, Client] = {}
        self._retry_ns: dict[str, int] = {}

    def look(self) -> list[Place]:
        """Every port that is there now."""
        places = []
        for api in apis_here():
            client = self._client(api)
            names = client.ports() if client else []
            places += [Place(PortName(api.name, name), api, index) for index, name in enumerate(names)]
        return places

    def _client(self, api: Api) -> Client | None:
        now_ns = time.perf_counter_ns()
        if api.name not in self.open and now_ns >= self._retry_ns.get(api.name, now_ns):
            try:
                self.open[api.name] = open_client(api)
            except OSError:  # told to the user as "no driver" if none is left
                self._retry_ns[api.name] = now_ns + RETRY_NS
        return self.open.get(api.name)

    def take(self, api: Api) -> Client:
        """Hand over the client of this API; whoever takes it closes it."""
        return self.open.pop(api.name)

    def close(self) -> None:
        """Let go of all that are left."""
        while self.open:
            self.open.popitem()[1].close()
