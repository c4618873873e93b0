"""Who sits where: remembered between runs in one JSON file in ``--data``, by the name the history knows them by."""

import json
import logging
from pathlib import Path

from pydantic import TypeAdapter

from chanterd.config import ChanterdError
from chanterd.history.players import LONGEST, Player, find_or_create
from chanterd.history.store import Store
from chanterd.history.wall_clock import Wall

LOG = logging.getLogger(__name__)
FILE = "seats.json"
NEW = "Player {seat}"
"""What somebody is called until they say their name."""

_SEATS = TypeAdapter(dict[str, str])


class Seating:
    """Reads the file once and writes it, whole or not at all, on every change."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / FILE
        self._names = self._read()

    def player(self, seat: str, store: Store, wall: Wall) -> Player:
        """Who sat there last; somebody new if that is not known, or they are gone from the history."""
        name = self._names.get(seat, "")
        return find_or_create(store, name if 0 < len(name) <= LONGEST else NEW.format(seat=seat), wall)

    def keep(self, seat: str, player: Player) -> None:
        """Remember it. Raises ChanterdError if it cannot be written."""
        self._write({**self._names, seat: player.name})

    def forget(self, name: str) -> None:
        """Remember that name no more. Raises ChanterdError if it cannot be written."""
        if name in self._names.values():
            self._write({seat: there for seat, there in self._names.items() if there != name})

    def _write(self, names: dict[str, str]) -> None:
        draft = self._path.with_suffix(".part")
        try:
            draft.write_text(json.dumps(names, indent=2), "utf-8")
            draft.replace(self._path)
        except OSError as error:
            raise ChanterdError(
                f"{self._path}: cannot be written ({error.strerror}), so who sits where will not be remembered. "
                "Make room and allow writing there, or choose another folder with --data."
            ) from error
        self._names = names

    def _read(self) -> dict[str, str]:
        if not self._path.exists():
            return {}
        try:
            return _SEATS.validate_json(self._path.read_bytes())
        except (ValueError, OSError) as error:
            LOG.warning("%s cannot be read (%s); the seats are taken anew.", self._path, error)
            return {}
