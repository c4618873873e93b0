"""Who sits where: remembered between runs in one JSON file in ``--data``, by the name the history knows them by."""

from pathlib import Path

from chanterd.config import ChanterdError
from chanterd.files import KeptFile
from chanterd.history.players import Player, find_or_create
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime

FILE = "seats.json"
NEW = "Player {seat}"
"""The name of a player who has not given one."""

UNWRITTEN = (
    "so who sits where will not be remembered. Make room and allow writing there, or choose another folder with --data"
)


class Assignments:
    """Who sat at each seat last; see ``KeptFile``."""

    def __init__(self, folder: Path) -> None:
        self._names: KeptFile[dict[str, str]] = KeptFile(folder / FILE, dict[str, str], {})

    def player(self, seat: str, store: Store, wall: WallTime) -> Player:
        """The player who sat there last; a new one if nobody is known, or if the history no longer has them."""
        try:
            return find_or_create(store, self._names.content.get(seat, ""), wall)
        except ChanterdError:  # it is no name that a player can have
            return self.stranger(seat, store, wall)

    def stranger(self, seat: str, store: Store, wall: WallTime) -> Player:
        """The player at a seat where nobody known sits."""
        return find_or_create(store, NEW.format(seat=seat), wall)

    def keep(self, seat: str, player: Player) -> None:
        """Remember it. Raises ChanterdError if it cannot be written."""
        self._names.write({**self._names.content, seat: player.name}, UNWRITTEN)

    def forget(self, name: str) -> None:
        """Remember that name no more. Raises ChanterdError if it cannot be written."""
        names = self._names.content
        if name in names.values():
            self._names.write({seat: there for seat, there in names.items() if there != name}, UNWRITTEN)
