"""Reading the TOML tables in ``configs/``: where they are, and how their mistakes are told, all at once.

Every reader collects its complaints in a :class:`Complaints` and raises one :class:`ConfigError` at the end, so that
a teacher who edits a file sees everything that is wrong with it, not the first thing only.
"""

import difflib
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, Protocol, TypeVar


class ChanterdError(Exception):
    """Anything a user can mend. Its text is one or more complete sentences, fit to be shown as they are."""


class ConfigError(ChanterdError):
    """A table or a file of ours is wrong; the text has one line for each mistake."""


def bundled(name: str) -> Path:
    """Where a top-level folder (``configs`` or ``web``) lies: inside the wheel, or beside the package in a checkout."""
    inside = Path(__file__).parent / name
    return inside if inside.is_dir() else Path(__file__).parent.parent / name


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A guess at what was meant, as `` Did you mean 'x'?`` with a leading blank, or an empty string."""
    near = difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)
    return f" Did you mean '{near[0]}'?" if near else ""


def read_toml(path: Path) -> dict[str, Any]:
    """The parsed file.

    Raises ConfigError if it cannot be read or is not TOML, naming the line where the parser stopped.
    """
    try:
        with path.open("rb") as file:
            return tomllib.load(file)
    except OSError as error:
        raise ConfigError(f"{path}: cannot be read ({error.strerror}).") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ConfigError(f"{path}: is not valid TOML: {error}. Is a quote or a bracket missing there?") from error


class Complaints:
    """What is wrong with one file; each ``take_*`` returns a usable value and notes the mistake if there is one."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.lines: list[str] = []

    def add(self, where: str, sentence: str) -> None:
        """Note one mistake; ``where`` is a path within the file, such as ``ornament.grip.beat``."""
        self.lines.append(f"{self.path.name}: {where}: {sentence}")

    def take_table(self, where: str, table: Mapping[str, Any], key: str) -> dict[str, Any]:
        """A table within the table; empty if it is left out, so that its own keys are asked for by name."""
        value = table.get(key, {})
        if isinstance(value, dict):
            return value
        self.add(where, f"'{key}' is {value!r}; it must be a table, begun by a line [{key}].")
        return {}

    def take_rows(self, where: str, table: Mapping[str, Any], key: str) -> list[dict[str, Any]]:
        """A list of tables; empty if it is left out."""
        value = table.get(key, [])
        if isinstance(value, list) and all(isinstance(row, dict) for row in value):
            return value
        self.add(where, f"'{key}' is no list of tables; begin each with a line [[{key}]], two brackets on each side.")
        return []

    def unknown_keys(self, where: str, table: Mapping[str, Any], known: Sequence[str]) -> None:
        """Complain of every key that is not known, guessing which was meant."""
        for key in table:
            if key not in known:
                self.add(where, f"'{key}' is not known here.{did_you_mean(key, known)} Known are: {', '.join(known)}.")

    def take_text(self, where: str, table: Mapping[str, Any], key: str, default: str | None = None) -> str:
        """A text; with no default it must be there and not be empty."""
        value = table.get(key, default)
        if not isinstance(value, str) or (default is None and not value.strip()):
            self._not_so(where, table, key, "a text in quotes")
            return default or ""
        return value

    def take_number(
        self, where: str, table: Mapping[str, Any], key: str, low: float, high: float, default: float | None = None
    ) -> float:
        """A number from low to high, both included; with no default it must be there."""
        value = table.get(key, default)
        # bool is an int in Python, and NaN fails every comparison: the positive form catches both.
        if isinstance(value, int | float) and not isinstance(value, bool) and low <= value <= high:
            return float(value)
        self._not_so(where, table, key, f"a number from {low:g} to {high:g}")
        return low if default is None else default

    def take_flag(self, where: str, table: Mapping[str, Any], key: str, *, default: bool) -> bool:
        """True or false."""
        value = table.get(key, default)
        if isinstance(value, bool):
            return value
        self._not_so(where, table, key, "true or false, without quotes")
        return default

    def take_texts(
        self, where: str, table: Mapping[str, Any], key: str, default: Sequence[str] | None = None
    ) -> list[str]:
        """A list of texts; with no default it must be there and not be empty."""
        value = table.get(key, default)
        if (
            isinstance(value, list | tuple)
            and all(isinstance(one, str) for one in value)
            and (value or default is not None)
        ):
            return list(value)
        self._not_so(where, table, key, 'a list of texts, such as ["B", "C"]')
        return list(default or [])

    def _not_so(self, where: str, table: Mapping[str, Any], key: str, wanted: str) -> None:
        """Complain of a value, or of its absence: whoever left it out wrote no None."""
        found = f"is {table[key]!r}" if key in table else "is missing"
        self.add(where, f"'{key}' {found}; it must be {wanted}.")

    def raise_if_any(self) -> None:
        """Raise ConfigError with every mistake noted so far, a line each."""
        if self.lines:
            raise ConfigError("\n".join(self.lines))


class Named(Protocol):
    """What a row of a table is made into."""

    @property
    def name(self) -> str:
        """What it is asked for by."""
        ...


Row = TypeVar("Row", bound=Named)


def read_rows(
    file: str, key: str, folder: Path | None, read: Callable[[Complaints, str, dict[str, Any]], Row]
) -> dict[str, Row]:
    """The rows ``[[key]]`` of a bundled table by name, then those of ``folder / file``, which add to or replace them.

    ``read`` makes a row into what it stands for; it is handed the row's place, such as ``layout 2``, for complaints.
    Raises ConfigError with everything that is wrong with a file.
    """
    found: dict[str, Row] = {}
    own = [] if folder is None else [folder / file]
    for path in (bundled("configs") / file, *(path for path in own if path.exists())):
        complaints, tables = Complaints(path), read_toml(path)
        complaints.unknown_keys("file", tables, (key,))
        for number, row in enumerate(complaints.take_rows("file", tables, key), 1):
            one = read(complaints, f"{key} {number}", row)
            found[one.name] = one
        complaints.raise_if_any()
    return found
