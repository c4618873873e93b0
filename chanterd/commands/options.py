"""What several commands share: options, their checks, printing, and files."""

import os
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated

import platformdirs
import typer

from chanterd.config import ChanterdError
from chanterd.files import write_whole

PORT = 8437
LAST_PORT = 65_535
OUR_FILES = ("history.db", "inputs.json", "placements.json", "seats.json", "tls-")
"""How the names of the daemon's own files in the data folder begin."""
OUR_FOLDERS = ("chanters", "standards", "ornaments", "plans", "tunes")
LONGEST_NUMBER = 20
"""Digits; Python refuses to read thousands of them, and no number of ours has more."""

DataFolder = Annotated[
    Path | None, typer.Option("--data", metavar="DIR", help="Folder where chanterd keeps its files.")
]
StoreUrl = Annotated[
    str | None,
    typer.Option(
        "--store",
        metavar="URL",
        help="Database for the history, such as postgresql+psycopg://USER@HOST/NAME. Without it, a file in DIR.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of a table.")]


def data_folder(chosen: Path | None, *, to_write: bool = False) -> Path:
    """The folder for everything that chanterd writes: the one chosen, or the system's usual place.

    Raises ChanterdError if it exists and cannot be read or, with ``to_write``, cannot be written or made.
    """
    folder = chosen if chosen is not None else platformdirs.user_data_path("chanterd")
    try:
        if to_write:
            make_private_folder(folder)
            tempfile.TemporaryFile(dir=folder).close()
        if folder.exists():
            os.listdir(folder)  # noqa: PTH208 - raises at once, where Path.iterdir waits and Path.glob says nothing
    except OSError as error:
        what = "written to" if to_write else "read"
        raise ChanterdError(
            f"{folder}: the data folder cannot be {what} ({error.strerror}). Choose another folder with --data."
        ) from error
    return folder


def make_private_folder(folder: Path) -> None:
    """Make the data folder readable by its owner only: it shows who practised what. Raises OSError.

    A folder that holds other things too, such as somebody's home, keeps its own rights; our files in it do not.
    """
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    ours = [path for path in folder.iterdir() if path.name.startswith(OUR_FILES) and path.is_file()]
    for path in ours:
        path.chmod(0o600)
    if ours and all(path in ours or path.name in OUR_FOLDERS for path in folder.iterdir()):
        folder.chmod(0o700)


def port_number(words: str) -> int:
    """Check a port that a user typed. Raises ChanterdError with the range allowed."""
    return whole_number("port --port", words, 0, LAST_PORT, PORT)


def whole_number(what: str, words: str, low: int, high: int, such_as: int) -> int:
    """Check a number that a user typed; ``what`` is its name and its option. Raises ChanterdError with the range."""
    if words.isdecimal() and len(words) <= LONGEST_NUMBER and low <= int(words) <= high:
        return int(words)
    raise ChanterdError(f"The {what} is '{words}'; it must be a whole number from {low} to {high}, such as {such_as}.")


def number_or_words(words: str | None) -> float | str | None:
    """The number, or the words themselves: the check of the range then refuses them with all other mistakes."""
    try:
        return None if words is None else float(words)
    except ValueError:
        return words


def show(lines: Iterable[str]) -> None:
    """Print in one go."""
    typer.echo("\n".join(lines))


def write_out(path: Path, pieces: Iterable[bytes]) -> None:
    """Write the file that ``--out`` names. Raises ChanterdError if it cannot be written."""
    write_whole(path, pieces, "choose another with --out")
