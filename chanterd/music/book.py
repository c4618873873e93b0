"""The book of ornaments from its files: the tables that ship, and a teacher's own that add to them or override them.

A teacher's row with a name that is in the book already changes that ornament, and needs to hold only what is to be
different. All mistakes in all files are said at once.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import NotRequired

from typing_extensions import TypedDict

from chanterd.config import ConfigError
from chanterd.music.forms import form_row
from chanterd.music.note import Note, NoteName
from chanterd.music.ornament import Book, plain
from chanterd.music.row import FormTable, OrnamentTable, Row, make_ornament, written_row
from chanterd.music.tie import tied
from chanterd.table_file import TableFile, has_own, rows_of, table_files
from chanterd.values import Title, table

NAME = "ornaments"
OWN_CHAPTER = "Your own"


@table
class Head(TypedDict):
    """A file of ornaments; the ornaments are read one at a time."""

    chapter: NotRequired[Title]
    taps: NotRequired[dict[NoteName, NoteName]]
    ornament: NotRequired[object]


def read_book(folder: Path | None = None) -> Book:
    """The tables that ship with the program, and the teacher's own in ``folder`` if one is given.

    Raises ConfigError with everything that is wrong with any of the files, a line each.
    """
    if folder is not None and not has_own(NAME, folder):
        return standard_book()
    return _read(folder)


def _read(folder: Path | None) -> Book:
    unreadable: list[str] = []
    return make_book(list(table_files(NAME, folder, unreadable)), unreadable)


@cache
def standard_book() -> Book:
    """The book that ships with the program."""
    return _read(None)


def make_book(files: Sequence[TableFile], unreadable: Sequence[str] = ()) -> Book:
    """The book of those files; rows of a teacher's own change those of the same name in the files before.

    Raises ConfigError with the lines about files that could not be read, and with everything that is wrong with any of
    the others, a line each.
    """
    entries: list[_Entry] = []
    taps: dict[Note, Note] = {}
    taps_right = True
    for file in files:
        head = file.right(Head, "file", file.content)
        taps_right = (taps_right and "taps" in head) or "taps" not in file.content
        taps |= _lower(file, head.get("taps", {}))
        _add_rows(entries, file, head.get("chapter", OWN_CHAPTER))
    rows = [row for entry in entries for row in _expanded(entry)]
    # A file that cannot be read may hold what the others name.
    book = Book(
        tied([(row, make_ornament(row, taps if taps_right else None)) for row in rows], all_read=not unreadable)
    )
    lines = [*unreadable, *(line for file in files for line in file.lines())]
    if lines:
        raise ConfigError("\n".join(lines))
    return book


@dataclass(slots=True)
class _Entry:
    """An ornament and its forms, as far as they have been read; a later file may change it."""

    row: Row
    forms: list["_Entry"] = field(default_factory=list)


def _lower(file: TableFile, taps: Mapping[Note, Note]) -> dict[Note, Note]:
    """The taps that are lower than their notes; the others are mistakes."""
    for note, tap in taps.items():
        if not tap < note:
            file.add("taps", f"'{note.words}' is '{tap.words}'; a tap must be lower than its note.")
    return {note: tap for note, tap in taps.items() if tap < note}


def _add_rows(entries: list[_Entry], file: TableFile, chapter: str) -> None:
    named = {plain(entry.row.name): entry for one in entries for entry in (one, *one.forms)} if file.own else {}
    for where, written in file.rows("ornament"):
        forms = [
            row
            for place, form in rows_of(file, written, "form", "ornament.form")
            if (row := written_row(file, chapter, place, form, FormTable))
        ]
        alone = {key: value for key, value in written.items() if key != "form"}
        row = written_row(file, chapter, where, alone, OrnamentTable)
        if row is None:
            continue
        entry = named.get(plain(row.name))
        if entry is None:
            entries.append(_Entry(row, [_Entry(form) for form in forms]))
            continue
        entry.row = entry.row.changed(row)
        for form in forms:
            if plain(form.name) in named:
                named[plain(form.name)].row = named[plain(form.name)].row.changed(form)
            else:
                entry.forms.append(_Entry(form))


def _expanded(entry: _Entry) -> Iterable[Row]:
    """The row of an entry and of each of its forms; any member of a family may take another's place."""
    names = [entry.row.name, *(form.row.name for form in entry.forms)]
    yield entry.row.with_default("instead", names[1:])
    for form in entry.forms:
        yield form_row(entry.row, form.row, [name for name in names if name != form.row.name])
