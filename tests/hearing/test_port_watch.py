"""The list of ports is watched, and said when it changes."""

from queue import Queue

import pytest

from chanterd.hearing import port_watch
from chanterd.hearing.driver import Api
from chanterd.hearing.port_watch import PortWatch
from chanterd.hearing.ports import Place, PortName

PATIENCE_S = 10.0


class Bench:
    """Stands in for the clients of the drivers."""

    names: tuple[str, ...] = ()
    closed = 0

    def __init__(self) -> None:
        self.open: dict[str, object] = {"made up": self}

    def look(self) -> list[Place]:
        """The ports there are now."""
        return [Place(PortName("made up", name), Api("made up", 0, "", ""), 0) for name in Bench.names]

    def close(self, *names: str) -> None:
        """Counted."""
        Bench.closed += len(names)


def test_each_change_is_said_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plugged in, then unplugged; in between nothing. At the end the clients are closed."""
    monkeypatch.setattr(port_watch, "Clients", Bench)
    monkeypatch.setattr(port_watch, "LOOK_S", 0.001)
    monkeypatch.setattr(Bench, "names", ())
    said: Queue[list[str]] = Queue()
    with PortWatch(lambda ports: said.put([port.name for port in ports])):
        Bench.names = ("Kitchen chanter",)
        assert said.get(timeout=PATIENCE_S) == ["Kitchen chanter"]
        Bench.names = ()
        assert said.get(timeout=PATIENCE_S) == []
    assert said.empty()
    assert Bench.closed == 1
