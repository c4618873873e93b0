"""The tunes at hand: those that ship in ``configs/tunes`` and the player's own in ``tunes`` of the data folder.

A tune goes by the name of its file without the ending; the second tune of a file by that name and ``:2``, and so on.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from chanterd.config import ChanterdError, bundled, did_you_mean, quoted
from chanterd.files import write_whole
from chanterd.music.tunes.read import ENDINGS, is_xml, read_tunes, tunes_from
from chanterd.music.tunes.tune import Tune

FOLDER = "tunes"
MOST_FILES = 1000
"""Of the player's own; more than anybody plays, and few enough to list at once."""
LONGEST_NAME = 60
"""Characters of a file's name that are kept."""
_MENDS = "choose another data folder with --data"


@dataclass(frozen=True, slots=True)
class Shelved:
    """One tune at hand, or a file of which none can be read."""

    key: str
    """What it goes by."""
    path: Path
    own: bool
    """Whether the player may delete its file."""
    tune: Tune | None
    said: str = ""
    """Why its file cannot be read; empty if it can."""


class Shelf:
    """Reads and keeps tunes. Each file is read again only when it has changed. Not for the event loop: it reads."""

    def __init__(self, folder: Path) -> None:
        """``folder`` is the data folder."""
        self._own = folder / FOLDER
        self._read: dict[Path, tuple[tuple[int, int], list[Tune] | str]] = {}

    def tunes(self) -> list[Shelved]:
        """Every tune, those that ship first, each kind in the order of its names."""
        return [one for path, own in self._files() for one in self._tunes_of(path, own=own)]

    def find(self, key: str) -> Shelved:
        """The tune of that name. Raises ChanterdError with a guess at what was meant, or why it cannot be read."""
        known = {one.key: one for one in self.tunes()}
        if key not in known:
            guess = did_you_mean(key, known)
            raise ChanterdError(f"The tune {quoted(key)} is not on the shelf.{guess} 'GET /api/tunes' lists them all.")
        if known[key].tune is None:
            raise ChanterdError(known[key].said)
        return known[key]

    def add(self, name: str, data: bytes) -> list[Shelved]:
        """Keep a file under a safe name near its own; the tunes in it. A file that is there already is not kept twice.

        Raises ChanterdError, one sentence, if it holds no tune or cannot be written.
        """
        tunes_from(data, Path(name).name or "the file")
        paths = [path for path, _ in self._files()]
        for path in paths:
            if path.parent == self._own and path.stat().st_size == len(data) and path.read_bytes() == data:
                return self._tunes_of(path, own=True)
        if len(paths) >= MOST_FILES:
            raise ChanterdError(f"There are {MOST_FILES} files of tunes already; delete some you no longer play first.")
        path = self._own / (_free(_safe(name), {one.stem for one in paths}) + _ending(data))
        self._own.mkdir(parents=True, exist_ok=True, mode=0o700)
        write_whole(path, [data], _MENDS)
        return self._tunes_of(path, own=True)

    def delete(self, key: str) -> None:
        """Delete the file that a tune is in, with all tunes in it. Raises ChanterdError if it is not the player's."""
        found = next((one for one in self.tunes() if one.key == key), None) or self.find(key)
        if not found.own:
            raise ChanterdError(f"The tune '{key}' ships with chanterd and cannot be deleted.")
        try:
            found.path.unlink(missing_ok=True)
        except OSError as error:
            raise ChanterdError(f"{found.path}: cannot be deleted ({error.strerror}); delete it yourself.") from error

    def _files(self) -> Iterator[tuple[Path, bool]]:
        taken: set[str] = set()
        for folder, own in ((bundled("configs") / FOLDER, False), (self._own, True)):
            paths = folder.iterdir() if folder.is_dir() else ()
            for path in sorted(paths, key=lambda one: one.name.lower()):
                if path.suffix.lower() in ENDINGS and path.is_file() and path.stem not in taken:
                    taken.add(path.stem)
                    yield path, own

    def _tunes_of(self, path: Path, *, own: bool) -> list[Shelved]:
        found = self._contents(path)
        if isinstance(found, str):
            return [Shelved(path.stem, path, own, None, found)]
        keys = [path.stem if number == 1 else f"{path.stem}:{number}" for number in range(1, len(found) + 1)]
        return [Shelved(key, path, own, tune) for key, tune in zip(keys, found, strict=True)]

    def _contents(self, path: Path) -> list[Tune] | str:
        """The tunes of a file, or why there are none."""
        try:
            stat = path.stat()
            state = (stat.st_mtime_ns, stat.st_size)
            if path in self._read and self._read[path][0] == state:
                return self._read[path][1]
            found: list[Tune] | str = read_tunes(path)
        except ChanterdError as error:
            found = str(error)
        except OSError as error:
            return f"{path.name}: cannot be read ({error.strerror}); check who may read it."
        self._read[path] = (state, found)
        return found


def _safe(name: str) -> str:
    """A file's name without its ending, in letters, digits and hyphens only."""
    stem = re.split(r"[/\\]", name)[-1].rsplit(".", 1)[0]
    letters = unicodedata.normalize("NFKD", stem).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", letters).strip("-")[:LONGEST_NAME].strip("-") or "tune"


def _free(stem: str, taken: set[str]) -> str:
    """That name, or with the first number behind it that is free."""
    number, name = 1, stem
    while name in taken:
        number += 1
        name = f"{stem}-{number}"
    return name


def _ending(data: bytes) -> str:
    """Of a file that was read: by what is in it, whatever it was called."""
    if data.startswith(b"PK"):
        return ".mxl"
    return ".musicxml" if is_xml(data) else ".abc"
