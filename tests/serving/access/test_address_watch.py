"""Addresses that come and go while the daemon runs; the list of them is made up, the doors are real."""

import asyncio
import contextlib
import ssl
from collections.abc import Callable, Iterator, Sequence

import pytest

from chanterd.config import ChanterdError
from chanterd.serving.access.address_watch import GONE_AFTER, AddressWatch, Network
from chanterd.serving.access.door import Door
from chanterd.serving.access.entrance import Entrance
from chanterd.serving.server import bind, door_at

HOME, WIRELESS = "127.0.0.2", "127.0.0.3"
"""Both of this machine, but neither the address of its own listener."""


class Machine:
    """A machine whose addresses change, and what its daemon does about it."""

    def __init__(self, *addresses: str) -> None:
        with bind(0) as probe:
            self.port = probe.getsockname()[1]
        self.busy: str | None = None
        self.entrance = Entrance()
        self.opened, self.shut = list[str](), list[str]()
        self.said = 0
        self.doors = doors = [door_at(one, self.port, None) for one in addresses]
        self.entrance.listeners = tuple(door.listener for door in doors)
        self.watch = AddressWatch(self.entrance, doors, self._open, self._shut, self._changed)

    def _open(self, address: str, tls: ssl.SSLContext | None) -> Door:
        if address == self.busy:
            raise ChanterdError(f"{address} is busy.")
        self.opened.append(address)
        self.doors.append(door_at(address, self.port, tls))
        return self.doors[-1]

    def close(self) -> None:
        """Give every port back."""
        for door in self.doors:
            door.close()

    def _shut(self, door: Door) -> None:
        self.shut.append(door.listener.address)
        door.close()

    def _changed(self) -> None:
        self.said += 1

    def see(self, *addresses: str, network: Network | None = None) -> list[str]:
        """The addresses are these now; those at which the class can be reached then."""
        asyncio.run(self.watch.take(network or Network(()), addresses))
        return [listener.address for listener in self.entrance.listeners]


Made = Callable[..., Machine]


@pytest.fixture
def made() -> Iterator[Made]:
    """Makes machines with these addresses."""
    with contextlib.ExitStack() as machines:
        yield lambda *addresses: machines.enter_context(contextlib.closing(Machine(*addresses)))


def test_an_address_that_appears_opens_the_class(made: Made) -> None:
    """Wi-Fi comes up after the start: it is said once, and nothing more is while nothing changes."""
    machine = made()
    assert machine.see() == []
    assert machine.see(HOME) == [HOME]
    assert machine.see(HOME) == [HOME]
    assert machine.see(WIRELESS, HOME) == [WIRELESS, HOME]  # the one to show comes first
    assert (machine.opened, machine.said) == ([HOME, WIRELESS], 2)


def test_an_address_that_is_gone_for_a_moment_only_changes_nothing(made: Made) -> None:
    """After several looks it is gone; if it comes back then, it is opened again."""
    machine = made(HOME)
    for _ in range(GONE_AFTER - 1):
        assert machine.see() == [HOME]
    assert machine.see(HOME) == [HOME]
    assert (machine.shut, machine.said) == ([], 0)
    for _ in range(GONE_AFTER):
        left = machine.see()
    assert (left, machine.shut, machine.said) == ([], [HOME], 1)
    assert machine.see(HOME) == [HOME]


def test_an_address_that_cannot_be_had_yet_is_tried_again(made: Made) -> None:
    """The others go on meanwhile."""
    machine = made(HOME)
    machine.busy = WIRELESS
    assert machine.see(HOME, WIRELESS) == [HOME]
    machine.busy = None
    assert machine.see(HOME, WIRELESS) == [HOME, WIRELESS]
    assert machine.said == 1


def test_the_certificate_is_made_for_the_new_addresses(made: Made) -> None:
    """Of our own making, it has them in it; its fingerprint is shown from then on."""
    asked = list[Sequence[str]]()

    def renewed(addresses: Sequence[str]) -> Network:
        asked.append(addresses)
        return Network(addresses, None, f"for {len(addresses)}", None, renewed)

    machine = made(HOME)
    machine.see(HOME, WIRELESS, network=renewed([HOME]))
    assert asked[1:] == [[HOME, WIRELESS]]
    assert machine.entrance.fingerprint == "for 2"


def test_a_certificate_that_cannot_be_had_is_tried_again(made: Made, caplog: pytest.LogCaptureFixture) -> None:
    """While somebody replaces its file: it is said once, the class goes on, and the next look follows."""
    whole = Network((), None, "whole")

    def replaced(_: Sequence[str]) -> Network:
        raise ChanterdError("The certificate is not there.")

    machine = made(HOME)
    for _ in range(GONE_AFTER + 1):
        assert machine.see(WIRELESS, network=Network((), renewed=replaced)) == [HOME]
    assert [record.getMessage() for record in caplog.records] == ["The certificate is not there."]
    assert machine.see(WIRELESS, network=Network((), renewed=lambda _: whole)) == [WIRELESS]
    assert (machine.entrance.fingerprint, machine.shut) == ("whole", [HOME])


def test_it_looks_by_itself_until_it_is_cancelled(made: Made, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every few seconds; where one address was chosen, never."""
    monkeypatch.setattr("chanterd.serving.access.address_watch.LOOK_S", 0.01)
    for chosen, reached in ((Network((), look=lambda: [HOME]), [HOME]), (Network(()), [])):
        machine = made()
        with contextlib.suppress(TimeoutError):
            asyncio.run(asyncio.wait_for(machine.watch.run(chosen), 0.5))
        assert [listener.address for listener in machine.entrance.listeners] == reached
