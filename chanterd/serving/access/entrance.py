"""The entrance: codes and guesses at them, and where those who have a code are to go."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from urllib.parse import urlencode

from chanterd.music.units import Ns
from chanterd.serving.access.grants import AT_THIS_MACHINE, WALL, Grant, Grants, Role
from chanterd.serving.access.listeners import Listener
from chanterd.serving.access.lockout import Lockout


class LockedError(Exception):
    """There were too many wrong guesses; nobody is listened to for a while."""


@dataclass(slots=True)
class Entrance:
    """What is shared by everybody who enters over the network."""

    grants: Grants = field(default_factory=Grants)
    lockout: Lockout = field(default_factory=Lockout)
    listeners: tuple[Listener, ...] = ()
    """Those that need a code; the first one is the one to show. None if only this machine can reach the daemon."""
    fingerprint: str | None = None
    """Of their certificate, if nobody but this machine vouches for it."""

    def enter(self, code: str, address: str, now_ns: Ns) -> str | None:
        """The token for whoever has that code; None if it opens nothing. Raises LockedError after too many guesses."""
        if self.lockout.locked(address, now_ns):
            raise LockedError
        token = self.grants.enter(code)
        if token is None:
            self.lockout.wrong(address, now_ns)
        return token

    def way_in(self, grant: Grant) -> str | None:
        """The address that leads straight in with that grant's code; None if nobody can come over the network."""
        if not self.listeners:
            return None
        return f"{self.listeners[0].page}enter?{urlencode({'code': self.grants.code_of(grant)})}"

    def ways_in(self, seats: Iterable[str]) -> Iterator[tuple[str, str]]:
        """Each part of the class with the address that leads in: desk, wall, and every seat."""
        parts = [("desk", AT_THIS_MACHINE), ("wall", WALL), *((f"seat {one}", Grant(Role.SEAT, one)) for one in seats)]
        for name, grant in parts:
            way = self.way_in(grant)
            if way is not None:
                yield name, way
