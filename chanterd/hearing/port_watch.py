"""Watches the list of MIDI ports, on a thread of its own, and says when it changes."""

from collections.abc import Callable
from threading import Event, Thread
from typing import Self

from chanterd.hearing.ports import Clients, PortName

LOOK_S = 1.0
"""Between two looks, seconds; the first look comes that long after the start, when the seats have their ports."""

PATIENCE_S = 2.0
"""How long the end waits for a driver that does not answer, seconds."""


class PortWatch:
    """Calls back, on its own thread, with all MIDI input ports each time there are others."""

    def __init__(self, changed: Callable[[list[PortName]], None]) -> None:
        self._changed = changed
        self._stop = Event()
        self._thread = Thread(target=self._run, name="port watch", daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join(PATIENCE_S)

    def _run(self) -> None:
        clients = Clients()
        seen: list[PortName] = []
        try:
            while not self._stop.wait(LOOK_S):
                ports = [place.port for place in clients.look()]
                if ports != seen:
                    seen = ports
                    self._changed(ports)
        finally:
            clients.close(*clients.open)
