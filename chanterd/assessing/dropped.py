"""A recording that a page sends: read once, looked at, and perhaps kept.

All of this takes seconds for an hour of playing, so a process of its own does it, and keeps what it read last: a
recording is looked at before it is kept.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from chanterd.assessing.listen import HeardTake, listen_to, tunes_at_hand
from chanterd.assessing.take_import import Kept, ToKeep, keep_all, to_keep
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile
from chanterd.hearing.take import Take, parse_take
from chanterd.history.players import Player
from chanterd.history.store import open_store
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import Standard
from chanterd.listening.tunes import KnownTune
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class Dropped:
    """A recording, with all that it is read and judged by."""

    name: str
    """The file's, for whoever reads what is wrong with it."""
    midi: bytes
    """A Standard MIDI File."""
    standard: Standard
    tables: Tables
    folder: Path
    """The data folder, where the player's tunes are."""


@dataclass(slots=True)
class _Read:
    """A recording that was read, and what it was read by."""

    name: str
    digest: bytes
    profiles: Mapping[str, Profile]
    tunes: list[KnownTune]
    take: Take
    heard: HeardTake
    judged_by: Standard | None = None
    to_keep: tuple[ToKeep, ...] = ()


class Recordings:
    """Reads recordings, and remembers the last one."""

    def __init__(self) -> None:
        self._shelf: Shelf | None = None
        self._last: _Read | None = None

    def listened(self, dropped: Dropped) -> bytes:
        """What was played in it, a ``Listened`` as JSON. Raises ChanterdError if it cannot be read."""
        listed = self._read(dropped).heard.listed(dropped.standard)
        return json.dumps(listed, ensure_ascii=False, allow_nan=False).encode()

    def judged(self, dropped: Dropped) -> tuple[ToKeep, ...]:
        """All that can be kept of it. Raises ChanterdError if it cannot be read, or there is no ornament in it."""
        read = self._read(dropped)
        if read.judged_by != dropped.standard:
            shelf = self._shelf_of(dropped.folder)
            read.to_keep = tuple(to_keep(read.take, read.heard, shelf, dropped.standard, dropped.tables))
            read.judged_by = dropped.standard
        if not read.to_keep:
            raise ChanterdError(f"There is no ornament in '{dropped.name}', so there is nothing to keep.")
        return read.to_keep

    def kept(self, dropped: Dropped, url: str, player: Player, ended: WallTime) -> list[Kept]:
        """Keep it as runs of a player, in the store with that URL; ``ended`` is when the recording did.

        Raises ChanterdError as ``judged`` does, or if a run cannot be written; those before it are kept.
        """
        found, read = self.judged(dropped), self._read(dropped)
        store = open_store(url, dropped.folder)
        try:
            return list(keep_all(store, player, read.take, read.heard, found, ended))
        finally:
            store.close()

    def _read(self, dropped: Dropped) -> _Read:
        name, digest, profiles = dropped.name, sha256(dropped.midi).digest(), dropped.tables.profiles
        tunes, last = tunes_at_hand(self._shelf_of(dropped.folder)), self._last
        if last is None or (last.name, last.digest, last.profiles, last.tunes) != (name, digest, profiles, tunes):
            self._last = None  # its memory, before more is needed
            take = parse_take(Path(name), dropped.midi)
            heard = listen_to(take, profiles, dropped.tables.book, tunes=tunes)
            last = self._last = _Read(name, digest, profiles, tunes, take, heard)
        return last

    def _shelf_of(self, folder: Path) -> Shelf:
        if self._shelf is None:
            self._shelf = Shelf(folder)
        return self._shelf


_RECORDINGS = Recordings()
"""Of this process, which does one job at a time."""


def listened(dropped: Dropped) -> bytes:
    """See :meth:`Recordings.listened`."""
    return _RECORDINGS.listened(dropped)


def judged(dropped: Dropped) -> int:
    """How many runs can be kept of it; see :meth:`Recordings.judged`."""
    return len(_RECORDINGS.judged(dropped))


def kept(dropped: Dropped, url: str, player: Player, ended: WallTime) -> list[Kept]:
    """See :meth:`Recordings.kept`."""
    return _RECORDINGS.kept(dropped, url, player, ended)
