"""The MIDI input ports there are now, and which of them a text means."""

import time
from collections.abc import Sequence
from dataclasses import dataclass

from chanterd.config import ChanterdError
from chanterd.hearing.claims import NUMBERS
from chanterd.hearing.client import Client
from chanterd.hearing.driver import Api, apis_here, open_client
from chanterd.music.units import NS_PER_MS

RETRY_NS = 2000 * NS_PER_MS
"""Between two tries to reach a driver that did not work, or shows no port: soon enough for whoever just started it."""


@dataclass(frozen=True, slots=True)
class PortName:
    """A MIDI input port as the system calls it, and the API that knows it."""

    api: str
    name: str


class AmbiguousPortError(ChanterdError):
    """The text fits more than one port."""

    def __init__(self, said: str, ports: Sequence[PortName]) -> None:
        super().__init__(said)
        self.ports = ports
        """All that fit, in the system's order."""


def find_port(text: str, ports: Sequence[PortName]) -> PortName | None:
    """The port of that name, else the only one whose name contains it; case is ignored. None if there is none.

    A whole name goes before a part of one, and APIs go in the order of ``ports``, so that a chanter reached in two
    ways is not ambiguous. Raises AmbiguousPortError naming the ports that match equally well.
    """
    wanted = text.casefold()
    plain = NUMBERS.sub("", wanted)
    rules = (
        lambda name: name == wanted,
        lambda name: NUMBERS.sub("", name) == plain,
        lambda name: wanted in name,
    )
    for rule in rules:
        for api in dict.fromkeys(port.api for port in ports):
            found = [port for port in ports if port.api == api and rule(port.name.casefold())]
            if len(found) > 1:
                names = ", ".join(f"'{port.name}'" for port in found)
                said = f"'{text}' fits {len(found)} MIDI ports, {names}: type more of the name you mean."
                raise AmbiguousPortError(said, found)
            if found:
                return found[0]
    return None


def list_ports() -> list[PortName]:
    """All MIDI input ports there are now, by every API that works here; if none works, see ``driver.no_driver``."""
    clients = Clients()
    try:
        return [place.port for place in clients.look()]
    finally:
        clients.close(*clients.open)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a port was seen."""

    port: PortName
    api: Api
    index: int


class Clients:
    """One RtMidi client for each API that works, kept as long as it shows ports.

    Opening one takes time; and JACK (jackd2 1.9.21, seen) may never run a client opened while others open theirs.
    """

    def __init__(self) -> None:
        self.open: dict[str, Client] = {}
        self._empty_ns: dict[str, int] = {}

    def look(self) -> list[Place]:
        """Every port that is there now."""
        places = []
        for api in apis_here():
            client = self._client(api)
            names = client.ports() if client else []
            places += [Place(PortName(api.name, name), api, index) for index, name in enumerate(names)]
        return places

    def _client(self, api: Api) -> Client | None:
        """The client of this API; one without ports is made again at times, because its server may have restarted."""
        client = self.open.get(api.name)
        if client and client.ports():
            self._empty_ns.pop(api.name, None)
            return client
        now_ns = time.perf_counter_ns()
        is_new = client is None and api.name not in self._empty_ns
        if not is_new and now_ns - self._empty_ns.setdefault(api.name, now_ns) < RETRY_NS:
            return client
        self._empty_ns[api.name] = now_ns
        self.close(api.name)
        try:
            self.open[api.name] = open_client(api)
        except OSError:  # the status says "no driver" if none is left
            return None
        return self.open[api.name]

    def only(self, api: Api) -> Client:
        """The client of this API; the others are closed."""
        self.close(*(name for name in self.open if name != api.name))
        return self.open[api.name]

    def close(self, *names: str) -> None:
        """Close the clients of these APIs, if they are open."""
        for name in names:
            client = self.open.pop(name, None)
            if client:
                client.close()
