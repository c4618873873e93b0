"""The book of ornaments from its files: the tables that ship, and a teacher's own that add to them or override them.

A teacher's row with a name that is in the book already changes that ornament, and needs to hold only what is to be
different. All mistakes in all files are told at once.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from chanterd.config import Complaints, ConfigError, bundled, read_toml
from chanterd.music.forms import form_row
from chanterd.music.ornament import Book, plain
from chanterd.music.row import Row, Taps, read_row, read_taps
from chanterd.music.tie import tied

FOLDER = "ornaments"
OWN_CHAPTER = "Your own"
FILE_KEYS = ("chapter", "taps", "ornament")


def own_files(folder: Path) -> list[Path]:
    """A teacher's own tables in a data folder: ``ornaments.toml``, then whatever is in ``ornaments/``."""
    return [*folder.glob(f"{FOLDER}.toml"), *sorted((folder / FOLDER).glob("*.toml"))]


def read_book(folder: Path | None = None) -> Book:
    """The tables that ship with the program, and the teacher's own in ``folder`` if one is given.

    Raises ConfigError with everything that is wrong with any of the files, a line each.
    """
    shipped = sorted((bundled("configs") / FOLDER).glob("*.toml"))
    return read_tables(shipped, own_files(folder) if folder else [])


@cache
def standard_book() -> Book:
    """The book that ships with the program."""
    return read_book()


def read_tables(shipped: Iterable[Path], own: Iterable[Path] = ()) -> Book:
    """The book of those files; rows of ``own`` change those of the same name that came before them.

    Raises ConfigError with everything that is wrong with any of the files, a line each.
    """
    reading = _Reading()
    for path in shipped:
        reading.add_file(path, changing=False)
    for path in own:
        reading.add_file(path, changing=True)
    return reading.book()


@dataclass(slots=True)
class _Entry:
    """An ornament and its forms, as far as they have been read; a later file may change it."""

    row: Row
    forms: list["_Entry"] = field(default_factory=list)

    def change(self, row: Row) -> None:
        """Let what the other row says take the place of what this one says."""
        self.row = replace(row, table={**self.row.table, **row.table}, chapter=self.row.chapter)


class _Reading:
    """The files read so far."""

    def __init__(self) -> None:
        self.entries: list[_Entry] = []
        self.taps: Taps = {}
        self.complaints: list[Complaints] = []
        self.unreadable: list[str] = []

    def add_file(self, path: Path, *, changing: bool) -> None:
        """Read a file; ``changing``: its rows may change those that were read from earlier files."""
        complaints = Complaints(path)
        self.complaints.append(complaints)
        try:
            tables = read_toml(path)
        except ConfigError as error:
            self.unreadable.append(str(error))
            return
        complaints.unknown_keys("file", tables, FILE_KEYS)
        chapter = complaints.take_text("file", tables, "chapter", default=OWN_CHAPTER)
        self.taps = {**self.taps, **read_taps(complaints, tables.get("taps", {}))}
        before = self._named() if changing else {}
        for row in _rows(complaints, chapter, "ornament", tables.get("ornament", [])):
            self._add(row, before)

    def _named(self) -> dict[str, _Entry]:
        return {plain(entry.row.name): entry for one in self.entries for entry in (one, *one.forms)}

    def _add(self, row: Row, before: Mapping[str, _Entry]) -> None:
        table = dict(row.table)
        forms = list(_rows(row.complaints, row.chapter, "ornament.form", table.pop("form", [])))
        row = replace(row, table=table)
        entry = before.get(plain(row.name))
        if entry is None:
            self.entries.append(_Entry(row, [_Entry(form) for form in forms]))
            return
        entry.change(row)
        for form in forms:
            if plain(form.name) in before:
                before[plain(form.name)].change(form)
            else:
                entry.forms.append(_Entry(form))

    def book(self) -> Book:
        """The book of all files read. Raises ConfigError with everything that is wrong with them."""
        rows = [row for entry in self.entries for row in _expanded(entry)]
        book = Book(tied([(row, read_row(row, self.taps)) for row in rows]))
        lines = [*self.unreadable, *(line for complaints in self.complaints for line in complaints.lines)]
        if lines:
            raise ConfigError("\n".join(dict.fromkeys(lines)))
        return book


def _rows(complaints: Complaints, chapter: str, where: str, written: object) -> Iterable[Row]:
    """The rows of a list that have a name; the others are mistakes."""
    if not isinstance(written, list):
        complaints.add(where, f"must be written with two brackets on each side, [[{where}]].")
        return
    for number, table in enumerate(written, 1):
        name = table.get("name") if isinstance(table, dict) else None
        if isinstance(name, str) and name.strip():
            yield Row(table, complaints, chapter)
        else:
            complaints.add(f"{where} {number}", f"'name' is {name!r}; it must be a text in quotes.")


def _expanded(entry: _Entry) -> Iterable[Row]:
    """The row of an entry and of each of its forms; any member of a family may take another's place."""
    names = [entry.row.name, *(form.row.name for form in entry.forms)]
    yield replace(entry.row, table={"instead": names[1:], **entry.row.table})
    for form in entry.forms:
        yield form_row(entry.row, form.row, [name for name in names if name != form.row.name])
