"""Files read within bounds and written whole or not at all; a damaged one is set aside and never overwritten."""

import logging
import os
import stat
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import Generic, TypeVar

from chanterd.config import ChanterdError

LOG = logging.getLogger(__name__)
Content = TypeVar("Content")

LARGEST_KEPT = 1_000_000
"""Bytes of a file in which the daemon remembers something."""
LONGEST_STEM = 60
"""Characters of a file's name that are made of what it is called."""
MOST_DAMAGED = 1000
"""Damaged files of one name that are kept."""


def read_file(path: Path, most_bytes: int) -> bytes:
    """The bytes of a regular file, links followed.

    Raises ChanterdError if it cannot be read, is longer than ``most_bytes``, or is a pipe or a device, which might
    never end.
    """
    try:
        # Without O_NONBLOCK, opening a pipe waits for somebody to write to it.
        with open(path, "rb", opener=lambda name, flags: os.open(name, flags | getattr(os, "O_NONBLOCK", 0))) as file:
            if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
                raise ChanterdError(f"{path}: is a pipe or a device; give a file that is stored on a disk.")
            data = file.read(most_bytes + 1)
    except OSError as error:
        raise ChanterdError(
            f"{path}: cannot be read ({error.strerror}); check the name and who may read it."
        ) from error
    except ValueError as error:  # a NUL in the name
        raise ChanterdError(f"{str(path)!r}: cannot be read ({error}); check the name.") from error
    if len(data) > most_bytes:
        raise ChanterdError(f"{path}: is longer than the {most_bytes:,} bytes allowed. Is it the file you mean?")
    return data


def write_whole(path: Path, pieces: Iterable[bytes], mend: str) -> None:
    """Write a file whole or not at all, whatever breaks it off, and have it on the disk on return.

    ``mend`` ends the sentence of the ChanterdError raised if it cannot be written, such as ``choose another folder``.
    """
    part = path.with_name(f"{path.name}.part")
    try:
        with part.open("wb") as file:
            file.writelines(pieces)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
        _sync_folder(path.parent)
    except BaseException as error:
        with suppress(OSError):  # where the folder is missing, there is nothing to take away either
            part.unlink()
        if isinstance(error, OSError):
            raise ChanterdError(f"{path}: cannot be written ({error.strerror}); {mend}.") from error
        raise


def file_stem(name: str, otherwise: str) -> str:
    """A name for a file, of the plain letters and digits of what it is called; ``otherwise`` if it has none."""
    plain = "".join(letter if letter.isascii() and letter.isalnum() else " " for letter in name.lower())
    return "-".join(plain.split())[:LONGEST_STEM].rstrip("-") or otherwise


def _sync_folder(folder: Path) -> None:
    """Have a new name on the disk too; some systems cannot, and need not."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def set_aside(path: Path) -> Path:
    """Give a damaged file another name beside the old one, taking nobody's place. Raises OSError if that cannot be."""
    for number in range(1, MOST_DAMAGED):
        aside = path.with_name(f"{path.name}.damaged{f'-{number}' if number > 1 else ''}")
        if not os.path.lexists(aside):
            return path.rename(aside)
    raise OSError(None, f"there are {MOST_DAMAGED} damaged ones beside it already")


class KeptFile(Generic[Content]):
    """A JSON file in which the daemon remembers something: read once at start, written whole on every change.

    ``shape`` is what it holds, for pydantic; ``empty`` is what it holds at first.
    """

    def __init__(self, path: Path, shape: type[Content], empty: Content) -> None:
        from pydantic import TypeAdapter  # noqa: PLC0415 - takes a while, and most commands keep nothing

        self._path = path
        self._shape: TypeAdapter[Content] = TypeAdapter(shape)
        self._stuck = False
        self.content = self._read(empty)
        """What it holds."""

    def write(self, content: Content, mend: str) -> None:
        """Keep it. If that cannot be, raises ChanterdError, whose sentence ``mend`` ends, and nothing changes."""
        if self._stuck:
            self._stuck = not self._moved_aside()
        if self._stuck:
            raise ChanterdError(f"{self._path}: is damaged and cannot be set aside; move it away yourself, or {mend}.")
        with suppress(OSError):  # the write says what is wrong
            self._path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(self._path, [self._shape.dump_json(content, indent=2)], mend)
        self.content = content

    def _read(self, empty: Content) -> Content:
        if not os.path.lexists(self._path):
            return empty
        try:
            return self._shape.validate_json(read_file(self._path, LARGEST_KEPT), strict=True)
        except (ChanterdError, ValueError) as error:
            LOG.warning("%s is damaged: %s", self._path, " ".join(str(error).split()))
            self._stuck = not self._moved_aside()
            return empty

    def _moved_aside(self) -> bool:
        try:
            aside = set_aside(self._path)
        except OSError as error:
            LOG.warning("%s cannot be set aside (%s); what it held is not used.", self._path, error)
            return False
        LOG.warning("%s is now called %s, and a new one is begun.", self._path, aside.name)
        return True
