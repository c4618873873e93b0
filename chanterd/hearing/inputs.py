"""What ``--input`` takes, turned into a source: ``demo``, a take, ``raw:PATH``, or the name of a MIDI port."""

import os
import stat
import time
from pathlib import Path

from chanterd.config import ChanterdError, did_you_mean
from chanterd.hearing.raw import RawSource
from chanterd.hearing.remote import RemoteSource
from chanterd.hearing.simulated import DEMO, DemoSource
from chanterd.hearing.source import Source
from chanterd.hearing.take import TakeSource
from chanterd.music.units import Ns

__all__ = ["DEMO", "HELP", "JOIN", "open_input"]

RAW = "raw:"
JOIN = "join"
"""A place for somebody who joins from another machine."""
JOINER = "somebody"
"""What to call them before they have joined."""
TAKE_SUFFIXES = (".mid", ".midi")
HELP = "Say 'demo', a MIDI port's name or a unique part of it, a .mid file, or raw:PATH."


def open_input(words: str, *, seed: int = 1) -> Source:
    """The source that these words name, not yet started; ``seed`` is for the simulated player.

    A port need not be there yet: its source waits for it. Raises ChanterdError for a take that cannot be read, for
    ``raw:`` without a readable path, and for no words at all.
    """
    plain = words.strip()
    if not plain:
        raise ChanterdError(f"The input is empty. {HELP}")
    if plain.lower() == DEMO:
        return DemoSource(seed)
    if plain.lower() == JOIN:
        return RemoteSource(JOINER, lambda: Ns(time.perf_counter_ns()))
    if plain.lower().startswith(RAW):
        return _open_raw(plain[len(RAW) :])
    path = Path(plain).expanduser()
    if path.suffix.lower() in TAKE_SUFFIXES or path.exists():
        return _open_take(path)
    # Only here, so that takes and the simulated player work where there is no MIDI driver at all.
    from chanterd.hearing.port import PortSource  # noqa: PLC0415

    return PortSource(plain)


def _open_take(path: Path) -> Source:
    if not path.exists():
        raise ChanterdError(f"{path}: there is no such file.{_near_miss(path)} {HELP}")
    if path.is_dir():
        raise ChanterdError(f"{path}: is a folder; name a .mid file in it.{_near_miss(path / 'take.mid')}")
    if not stat.S_ISREG(path.stat().st_mode):
        raise ChanterdError(f"{path}: is a device or a FIFO, not a file; say 'raw:{path}' to read MIDI bytes from it.")
    return TakeSource(path)


def _open_raw(words: str) -> Source:
    if not words.strip():
        raise ChanterdError("'raw:' needs a path after the colon, such as raw:/dev/midi1.")
    path = Path(words.strip()).expanduser()
    if path.is_dir():
        raise ChanterdError(f"{path}: is a folder; after 'raw:' name a device file or a FIFO.")
    if not hasattr(os, "O_NONBLOCK"):
        raise ChanterdError("'raw:' needs Linux or macOS; on this system name a MIDI port instead.")
    return RawSource(path)


def _near_miss(path: Path) -> str:
    """A guess among the takes beside it, or where they would be looked for."""
    if not path.parent.is_dir():
        return f" The folder {path.parent} does not exist either."
    return did_you_mean(
        path.name, sorted(one.name for one in path.parent.iterdir() if one.suffix.lower() in TAKE_SUFFIXES)
    )
