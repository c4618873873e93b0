"""The tables that playing is judged by, read at once, so that all their mistakes are said at once."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from chanterd.config import ChanterdError, ConfigError
from chanterd.hearing.chanter import Profile, load_profiles
from chanterd.judging.standard import read_standards
from chanterd.music.book import read_book
from chanterd.music.layout import read_layouts
from chanterd.music.ornament import Book
from chanterd.music.pace import Pace, read_paces
from chanterd.music.tuning import Tuning, read_tunings
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.feedback.schedule import read_schedules

Table = TypeVar("Table")


@dataclass(frozen=True, slots=True)
class Tables(Vocabulary):
    """What playing is judged by: what ships with the program and the user's own, by name where there are several."""

    profiles: dict[str, Profile]
    tunings: dict[str, Tuning]
    paces: dict[str, Pace]


class TablesReading:
    """Reads tables, and collects their mistakes."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.mistakes: list[str] = []

    def read(self, table: Callable[[], Table]) -> Table | None:
        """That table; None if it is wrong."""
        try:
            return table()
        except ChanterdError as error:
            self.mistakes.append(str(error))
            return None

    def judging(self) -> tuple[Book | None, Vocabulary | None, Tables | None]:
        """The book, all that names what is practised, and all tables of judging, each None if some of it is wrong."""
        folder = self.folder
        book = self.read(lambda: read_book(folder))
        standards = self.read(lambda: read_standards(folder))
        layouts = self.read(lambda: read_layouts(folder))
        profiles, schedules = self.read(lambda: load_profiles(folder)), self.read(lambda: read_schedules(folder))
        tunings, paces = self.read(lambda: read_tunings(folder)), self.read(lambda: read_paces(folder))
        if book is None or standards is None or layouts is None or schedules is None:
            return book, None, None
        known = Vocabulary(book, standards, layouts, schedules)
        if profiles is None or tunings is None or paces is None:
            return book, known, None
        return book, known, Tables(book, standards, layouts, schedules, profiles, tunings, paces)


def read_tables(folder: Path) -> Tables:
    """The tables of judging that ship, and the user's own in the data folder.

    Raises ConfigError with every mistake in any of them.
    """
    reading = TablesReading(folder)
    _, _, tables = reading.judging()
    if tables is None:
        raise ConfigError("\n".join(reading.mistakes))
    return tables
