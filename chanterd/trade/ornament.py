"""The ornaments: rows of ``configs/ornaments.toml``, and which spelling serves between a given lead and theme note.

Conventions: steps are listed without the theme note; step indices count from 0 here and from 1 in the file.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, Literal, cast, get_args

from chanterd.config import ChanterdError, Complaints, bundled, did_you_mean, read_toml
from chanterd.trade.note import ABC, Note, note_from_abc, note_from_words


class Kind(StrEnum):
    """What a step is for: quick ones only articulate, held ones carry the rhythm, the theme is the melody note."""

    QUICK = "quick"
    HELD = "held"
    THEME = "theme"


Motion = Literal["any", "level", "level or up"]


@dataclass(frozen=True, slots=True)
class SpelledStep:
    """One step as written in the table; note None stands for the theme note."""

    note: Note | None
    kind: Kind

    def on(self, theme: Note) -> Note:
        """The note it is on this theme note."""
        return theme if self.note is None else self.note


@dataclass(frozen=True, slots=True)
class Spelling:
    """One way to spell an ornament, and between which notes it is used."""

    themes: frozenset[Note]
    leads: frozenset[Note]
    motion: Motion
    steps: tuple[SpelledStep, ...]

    def serves(self, lead: Note, theme: Note) -> bool:
        """Whether the table offers this spelling between the two notes."""
        moves = {"any": True, "level": theme == lead, "level or up": theme >= lead}[self.motion]
        return theme in self.themes and lead in self.leads and moves


@dataclass(frozen=True, slots=True)
class Instead:
    """Which ornament takes the place of this one after a certain note, and why."""

    ask: str
    because: str


@dataclass(frozen=True, slots=True)
class Ornament:
    """One row of the table."""

    name: str
    also: tuple[str, ...]
    how: str
    disputed: str
    beat: int | None
    """Index of the step on the beat; None: the theme note."""
    build: tuple[tuple[int, ...], ...]
    """Indices of the steps kept at each stage; empty: by the general rule."""
    instead: Mapping[Note, Instead]
    spellings: tuple[Spelling, ...]

    @property
    def themes(self) -> tuple[Note, ...]:
        """Every theme note it is played on, rising."""
        return tuple(sorted({theme for spelling in self.spellings for theme in spelling.themes}))


def plain(words: str) -> str:
    """Words as they are compared: lower case, hyphens as blanks, single blanks."""
    return " ".join(words.lower().replace("-", " ").split())


@dataclass(frozen=True, slots=True)
class Book:
    """All ornaments, in the order of the table."""

    ornaments: tuple[Ornament, ...]

    def names(self) -> dict[str, Ornament]:
        """Every plain name in use, to the ornament it means."""
        return {plain(name): ornament for ornament in self.ornaments for name in (ornament.name, *ornament.also)}

    def find(self, words: str) -> Ornament:
        """The ornament of that name. Raises ChanterdError with a guess at the one that was meant."""
        names = self.names()
        if plain(words) in names:
            return names[plain(words)]
        known = ", ".join(ornament.name for ornament in self.ornaments)
        raise ChanterdError(
            f"'{words}' is not an ornament in the book.{did_you_mean(plain(words), names)} Known are: {known}."
        )


def _read_step(complaints: Complaints, where: str, text: str) -> SpelledStep:
    letter, _, kind = text.partition(" ")
    if kind not in (Kind.QUICK, Kind.HELD) or (letter != "T" and (len(letter) != 1 or letter not in ABC)):
        complaints.add(
            where,
            f"step '{text}' must be one of {' '.join(ABC)} or T, a blank, then 'quick' or 'held', as in 'g quick'.",
        )
        return SpelledStep(None, Kind.HELD)
    return SpelledStep(None if letter == "T" else note_from_abc(letter), Kind(kind))


def _read_notes(complaints: Complaints, where: str, names: Iterable[str]) -> frozenset[Note]:
    notes = set()
    for name in names:
        try:
            notes.add(note_from_words(name))
        except ChanterdError as error:
            complaints.add(where, str(error))
    return frozenset(notes)


def _read_spelling(complaints: Complaints, where: str, table: Mapping[str, Any]) -> Spelling:
    complaints.unknown_keys(where, table, ("themes", "leads", "motion", "steps"))
    motion = table.get("motion", "any")
    if motion not in get_args(Motion):
        complaints.add(where, f"'motion' is {motion!r}; it must be one of 'any', 'level', 'level or up'.")
        motion = "any"
    leads = complaints.take_texts(where, table, "leads", default=[note.words for note in Note])
    return Spelling(
        themes=_read_notes(complaints, where, complaints.take_texts(where, table, "themes")),
        leads=_read_notes(complaints, where, leads),
        motion=cast("Motion", motion),
        steps=tuple(_read_step(complaints, where, text) for text in complaints.take_texts(where, table, "steps")),
    )


def _read_beat(complaints: Complaints, where: str, words: str, fewest: int) -> int | None:
    if words == "theme":
        return None
    number = words.removeprefix("step ")
    if number.isdecimal() and 1 <= int(number) <= fewest:
        return int(number) - 1
    complaints.add(where, f"'beat' is '{words}'; it must be 'theme' or 'step 1' to 'step {fewest}'.")
    return None


def _read_build(complaints: Complaints, where: str, stages: Iterable[str], most: int) -> tuple[tuple[int, ...], ...]:
    build = []
    for stage in stages:
        numbers = stage.split()
        if not all(number.isdecimal() and 1 <= int(number) <= most for number in numbers):
            complaints.add(where, f"'build' has '{stage}'; each stage is step numbers from 1 to {most}, such as '1 3'.")
        else:
            build.append(tuple(int(number) - 1 for number in numbers))
    return tuple(build)


def _read_instead(complaints: Complaints, where: str, rows: object) -> dict[Note, Instead]:
    found: dict[Note, Instead] = {}
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        complaints.add(where, "'instead' must be a list of tables, each with 'lead', 'ask' and 'because'.")
        return found
    for row in rows:
        complaints.unknown_keys(where, row, ("lead", "ask", "because"))
        told = Instead(complaints.take_text(where, row, "ask"), complaints.take_text(where, row, "because"))
        for lead in _read_notes(complaints, where, [complaints.take_text(where, row, "lead")]):
            found[lead] = told
    return found


def _read_ornament(complaints: Complaints, number: int, row: Mapping[str, Any]) -> Ornament:
    where = f"ornament {number}"
    name = complaints.take_text(where, row, "name")
    where = f"{where} ({name})"
    complaints.unknown_keys(where, row, ("name", "also", "how", "beat", "disputed", "build", "instead", "spelled"))
    spelled = row.get("spelled", [])
    if not spelled:
        complaints.add(where, "has no [[ornament.spelled]]; it needs at least one.")
    spellings = tuple(_read_spelling(complaints, where, table) for table in spelled)
    sizes = [len(spelling.steps) for spelling in spellings] or [0]
    return Ornament(
        name=name,
        also=tuple(complaints.take_texts(where, row, "also", default=[])),
        how=complaints.take_text(where, row, "how"),
        disputed=complaints.take_text(where, row, "disputed", default=""),
        beat=_read_beat(complaints, where, complaints.take_text(where, row, "beat"), min(sizes)),
        build=_read_build(complaints, where, complaints.take_texts(where, row, "build", default=[]), min(sizes)),
        instead=_read_instead(complaints, where, row.get("instead", [])),
        spellings=spellings,
    )


def read_ornaments(path: Path) -> Book:
    """Read a table of ornaments. Raises ConfigError with everything that is wrong with it, a line each."""
    complaints = Complaints(path)
    tables = read_toml(path)
    complaints.unknown_keys("file", tables, ("ornament",))
    rows = enumerate(tables.get("ornament", []), 1)
    book = Book(tuple(_read_ornament(complaints, number, row) for number, row in rows))
    taken: set[str] = set()
    for ornament in book.ornaments:
        for name in map(plain, (ornament.name, *ornament.also)):
            if name in taken:
                complaints.add(f"ornament ({ornament.name})", f"the name '{name}' is taken twice; names must differ.")
            taken.add(name)
        for instead in ornament.instead.values():
            if plain(instead.ask) not in book.names():
                where = f"ornament ({ornament.name})"
                complaints.add(where, f"'instead' asks for '{instead.ask}', which is not in the table.")
    complaints.raise_if_any()
    return book


@cache
def standard_book() -> Book:
    """The table that ships with the program."""
    return read_ornaments(bundled("configs") / "ornaments.toml")
