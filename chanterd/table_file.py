"""A TOML table that a teacher may write: read within bounds and checked by its model, all mistakes at once.

A model is a TypedDict whose hints say what may be there (``Annotated[float, Interval(ge=1, le=20)]``); pydantic checks
it, and ``sentences`` says what is wrong. pydantic is imported with the first table: most of a second start needs none.
"""

import os
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, NotRequired, Required, TypeVar, cast, get_args, get_origin

from typing_extensions import TypedDict, get_type_hints

from chanterd.config import ChanterdError, ConfigError, Mistake, bundled, quoted
from chanterd.files import read_file
from chanterd.sentences import Names, Place, missing, sentence, split, unknown
from chanterd.values import Text, table

if TYPE_CHECKING:
    from pydantic import TypeAdapter

LARGEST = 256_000
"""Bytes of a table; the longest that ships has a twentieth of it."""
DEEPEST = 16
"""Tables within tables; none that ships has more than four."""
MOST_ROWS = 1000
"""Rows of one file."""
MOST_LINES = 50
"""Mistakes of one file that are shown; the rest are counted."""

NAME = Text(100)
"""A file's name."""

_WORD = r"(?:[\w-]++|\"[^\"\n]*+\"|'[^'\n]*+')"
_TOO_DOTTED = re.compile(rf"(?<![\w-])(?:{_WORD}[ \t]*+\.[ \t]*+){{{DEEPEST}}}{_WORD}")

Model = TypeVar("Model")
Thing = TypeVar("Thing")
Rule = Callable[[Any, Mapping[str, Any]], str | None]
"""What a row must keep beyond its model: takes what of it is right and all that is written, and returns a sentence
if it does not."""


def read_toml(path: Path) -> dict[str, Any]:
    """The parsed file. A byte order mark at its start, as some editors write, is skipped.

    Raises ConfigError if it cannot be read, is too long or nested too deep, or is not TOML, naming the line where the
    parser stopped.
    """
    try:
        text = read_file(path, LARGEST).decode("utf-8-sig")
        _refuse_long_keys(path, text)
        parsed = tomllib.loads(text)
    except ChanterdError as error:
        raise ConfigError(str(error)) from error
    except RecursionError as error:
        raise ConfigError(f"{path}: is nested too deep. Is a bracket typed again and again?") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ConfigError(f"{path}: is not valid TOML: {error}. Is a quote or a bracket missing there?") from error
    except ValueError as error:  # from Python's own int() and date()
        raise ConfigError(f"{path}: holds a number or a date that cannot be ({error}); write a smaller one.") from error
    if not is_shallow(parsed):
        raise ConfigError(f"{path}: is nested too deep; {DEEPEST} tables within each other are allowed.")
    return parsed


def _refuse_long_keys(path: Path, text: str) -> None:
    """The parser takes minutes over a key of a thousand parts."""
    if _TOO_DOTTED.search(text):
        raise ConfigError(f"{path}: a key has more than {DEEPEST} parts joined by dots; write fewer.")


def is_shallow(parsed: dict[str, Any]) -> bool:
    """Whether there are no more tables within each other than one of ours may have."""
    level: list[Any] = [parsed]
    for _ in range(DEEPEST):
        level = [
            inner
            for one in level
            for inner in (one.values() if isinstance(one, dict) else one)
            if isinstance(inner, dict | list)
        ]
    return not level


@dataclass(slots=True)
class TableFile:
    """One file of tables, and the mistakes found in it so far."""

    name: str
    """Its path below ``configs`` or the data folder, as mistakes name it."""
    path: Path
    own: bool
    """Whether a teacher wrote it; the others ship with the program."""
    content: dict[str, Any] = field(default_factory=dict)
    mistakes: list[Mistake] = field(default_factory=list)
    unshown: int = 0
    """Further mistakes, for which there is no room on a screen."""
    names: Names | None = None
    """What a form calls the keys, if the content comes from one."""

    def add(self, where: str, sentence: str, key: str = "") -> None:
        """Note one mistake; ``where`` is a path within the file, such as ``layout 2``, ``key`` what is wrong there."""
        mistake = Mistake(where, key, sentence)
        if len(self.mistakes) >= MOST_LINES:
            self.unshown += 1
        elif mistake not in self.mistakes:
            self.mistakes.append(mistake)

    @property
    def count(self) -> int:
        """How many mistakes have been noted."""
        return len(self.mistakes) + self.unshown

    def right(self, model: type[Model], where: str, table: object, *, required: Iterable[str] = ()) -> Model:
        """As much of the table as is right, its keys all optional; the rest is noted as mistakes.

        ``required`` names the keys that must be there.
        """
        values, wrong = _validated(model, table)
        for error in wrong[:MOST_LINES]:
            self.add(_place(where, error["loc"]), sentence(model, error, self.names), split(error["loc"])[1])
        self.unshown += max(len(wrong) - MOST_LINES, 0)
        if isinstance(table, Mapping):
            for key in required:
                if key not in table:
                    self.add(where, missing(key, _hints(cast("Any", model))[key], self.names), key)
        return cast("Model", values)

    def checked(
        self, model: type[Model], where: str = "file", table: object = None, rules: Iterable[Rule] = ()
    ) -> Model | None:
        """The table, the whole file if none is given, or None if anything is wrong with it.

        All mistakes are noted, those against the rules too where what a rule needs is right.
        """
        before = self.count
        given = self.content if table is None else table
        values = self.right(model, where, given, required=_required_keys(model))
        written = given if isinstance(given, dict) else {}
        for rule in rules:
            try:
                said = rule(values, written)
            except KeyError:  # it is missing or wrong, which has been noted
                continue
            if said:
                self.add(where, said)
        return values if self.count == before else None

    def rows(self, key: str) -> Iterator[tuple[str, dict[str, Any]]]:
        """The rows ``[[key]]``, each with its place, such as ``layout 2``; what is not a table is a mistake."""
        return rows_of(self, self.content, key, key)

    def only(self, *known: str) -> None:
        """Note every key at the top that is not known."""
        for key in [key for key in self.content if key not in known][:MOST_LINES]:
            self.add("file", unknown(key, known))

    def lines(self) -> list[str]:
        """The mistakes, a line each, not more than a screen holds."""
        lines = [f"{self.name}: {one.where}: {one.said}" for one in self.mistakes]
        return [*lines, *([f"{self.name}: and {self.unshown} more mistakes."] if self.unshown else [])]


def parts(model: type[Model], table: dict[str, Any], names: Names | None = None) -> tuple[Model, dict[str, str]]:
    """What of a table is right, and a sentence about each of its keys that is unknown, wrong or missing."""
    values, errors = _validated(model, table)
    hints = _hints(cast("Any", model))
    wrong = {split(error["loc"])[1]: sentence(model, error, names) for error in errors[:MOST_LINES]}
    wrong |= {key: missing(key, hints[key], names) for key in _required_keys(model) if key not in table}
    return cast("Model", values), wrong


def rows_of(file: TableFile, around: Mapping[str, Any], key: str, path: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """The rows of a table in the file, each with its place; ``path`` is how a row begins, such as ``ornament.form``."""
    rows = around.get(key, [])
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        file.add(
            "file", f"'{path}' is no list of tables; begin each with a line [[{path}]], two brackets on each side."
        )
    elif len(rows) > MOST_ROWS:
        file.add("file", f"there are {len(rows)} [[{path}]]; a file may have {MOST_ROWS}. Make two files of it.")
    else:
        yield from ((f"{path} {number}", row) for number, row in enumerate(rows, 1))


def _place(where: str, place: Place) -> str:
    around = " ".join(str(part + 1 if isinstance(part, int) else part) for part in split(place)[0])
    return around if around and where == "file" else f"{where} {around}".rstrip()


def _validated(model: Any, table: object) -> tuple[dict[str, Any], list[Any]]:  # noqa: ANN401
    """What of the table is right, and pydantic's errors about the rest."""
    from pydantic import ValidationError  # noqa: PLC0415 - see the module

    adapter = _adapter(model)
    try:
        return adapter.validate_python(table), []
    except ValidationError as error:
        errors: list[Any] = error.errors(include_url=False)
    if not isinstance(table, dict):
        return {}, errors
    kept, wrong = _copied(table), errors
    while wrong:  # a table that lost what it must have is cut away in its turn
        for one in wrong:
            _cut(kept, one["loc"])
        try:
            return adapter.validate_python(kept), errors
        except ValidationError as error:
            wrong = list(error.errors(include_url=False))
    return {}, []


@cache
def _adapter(model: Any) -> "TypeAdapter[dict[str, Any]]":  # noqa: ANN401 - TypedDict classes have no common type
    """Checks a table of that model; its own keys may be left out, so that the rest can be made use of."""
    from pydantic import TypeAdapter  # noqa: PLC0415 - see the module

    keys = {key: _required(hint) for key, hint in _hints(model).items()}
    make: Any = TypedDict  # whose fields a checker of types wants to see
    return TypeAdapter(table(make(model.__name__, keys, total=False)))


@cache
def _hints(model: Any) -> dict[str, Any]:  # noqa: ANN401
    return get_type_hints(model, include_extras=True)


def _required_keys(model: Any) -> Iterator[str]:  # noqa: ANN401
    """The keys that must be there, in the order of the model."""
    return (key for key in _hints(model) if key in model.__required_keys__)


def _required(hint: Any) -> Any:  # noqa: ANN401 - a type hint has no type of its own
    return get_args(hint)[0] if get_origin(hint) in (NotRequired, Required) else hint


def _copied(value: Any) -> Any:  # noqa: ANN401 - whatever TOML holds
    if isinstance(value, dict):
        return {key: _copied(inner) for key, inner in value.items()}
    return [_copied(inner) for inner in value] if isinstance(value, list) else value


def _cut(table: dict[str, Any], place: Place) -> None:
    """Take away the innermost key around a mistake; a key that is missing takes its whole table with it."""
    around: Any = table
    holder, key = table, place[0]
    for part in place:
        if isinstance(around, dict) and part in around:
            holder, key = around, part
            around = around[part]
        elif isinstance(around, list) and isinstance(part, int) and part < len(around):
            around = around[part]
        else:
            break
    holder.pop(str(key), None)


def table_files(name: str, folder: Path | None, mistakes: list[str]) -> Iterator[TableFile]:
    """The files of a table: those that ship, then a teacher's own in the data folder, read in the order of their names.

    A table is a file ``name.toml``, a folder ``name`` of such files, or both. What cannot be read is left out, with a
    line in ``mistakes``.
    """
    for path, called, own in table_paths(name, folder, mistakes):
        try:
            yield TableFile(called, path, own, read_toml(path))
        except ConfigError as error:
            mistakes.append(str(error))


def table_paths(name: str, folder: Path | None, mistakes: list[str]) -> Iterator[tuple[Path, str, bool]]:
    """The same files unread: each with its path below ``configs`` or the data folder, and if it is a teacher's."""
    for root, own in ((bundled("configs"), False), *([] if folder is None else [(folder, True)])):
        for path in (root / f"{name}.toml", *_listed(root / name, mistakes)):
            if os.path.lexists(path):
                yield path, path.relative_to(root).as_posix(), own


def has_own(name: str, folder: Path) -> bool:
    """Whether there is anything in the data folder that belongs to that table."""
    mistakes: list[str] = []
    return os.path.lexists(folder / f"{name}.toml") or bool(_listed(folder / name, mistakes) or mistakes)


def _listed(folder: Path, mistakes: list[str]) -> list[Path]:
    try:
        names = sorted(name for name in os.listdir(folder) if name.endswith(".toml"))  # noqa: PTH208 - raises at once
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError as error:
        mistakes.append(f"{folder}: cannot be read ({error.strerror}); check who may read it.")
        return []
    unfit = [name for name in names if not NAME.allows(name)]
    mistakes += [
        f"{folder}: the file {quoted(name)} has a name that cannot be shown; give it another." for name in unfit
    ]
    return [folder / name for name in names if name not in unfit]


def read_one(path: Path, model: type[Model], rules: Iterable[Rule] = ()) -> Model:
    """A table that is one file of its own. Raises ConfigError with everything that is wrong with it."""
    file = TableFile(path.name, path, own=False, content=read_toml(path))
    found = file.checked(model, rules=rules)
    if found is None:
        raise ConfigError("\n".join(file.lines()))
    return found


def load_rows(
    name: str,
    key: str,
    folder: Path | None,
    model: type[Model],
    make: Callable[[Model], Thing],
    rules: Iterable[Rule] = (),
) -> dict[str, Thing]:
    """The rows ``[[key]]`` of a table, by their names; see ``load``. ``make`` makes what a row is."""

    def read(file: TableFile) -> Iterator[tuple[str, Thing]]:
        file.only(key)
        for where, row in file.rows(key):
            values = file.checked(model, where, row, rules)
            if values is not None:
                yield cast("dict[str, str]", values)["name"], make(values)

    return load(name, folder, read)


def load(name: str, folder: Path | None, read: Callable[[TableFile], Iterable[tuple[str, Thing]]]) -> dict[str, Thing]:
    """Everything in the files of a table by its name; a teacher's own adds to what ships or takes its place.

    ``read`` makes what a file holds, each with its name, and notes the mistakes in it. Raises ConfigError with all
    mistakes of all files.
    """
    mistakes: list[str] = []
    found: dict[str, Thing] = {}
    homes: dict[str, TableFile] = {}
    for file in table_files(name, folder, mistakes):
        for called, one in read(file):
            home = homes.get(called)
            if home is not None and home.own == file.own:
                there = "" if home is file else f" in {home.name}"
                file.add("file", f"the name '{called}' is taken already{there}; change one of the two.")
            found[called], homes[called] = one, file
        mistakes += file.lines()
    if mistakes:
        raise ConfigError("\n".join(mistakes))
    return found
