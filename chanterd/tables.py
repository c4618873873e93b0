"""All tables that a teacher may change, read at once, so that all their mistakes are told at once."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from chanterd.config import ChanterdError, ConfigError
from chanterd.hearing.chanter import Profile, load_profiles
from chanterd.judging.standard import Standard, read_standards
from chanterd.music.book import read_book
from chanterd.music.layout import Layout, read_layouts
from chanterd.music.ornament import Book
from chanterd.music.pace import Pace, read_paces
from chanterd.music.tuning import Tuning, read_tunings
from chanterd.practice.feedback.schedule import Schedule, read_schedules
from chanterd.practice.plans.plan import Plan, Shelf, read_plans
from chanterd.practice.proposal.rule import ProposalRule, read_proposal_rule, standard_proposal_rule

Table = TypeVar("Table")


@dataclass(frozen=True, slots=True)
class Tables:
    """What ships with the program and the user's own, by name where there are several."""

    book: Book
    standards: dict[str, Standard]
    profiles: dict[str, Profile]
    layouts: dict[str, Layout]
    schedules: dict[str, Schedule]
    tunings: dict[str, Tuning]
    paces: dict[str, Pace]
    plans: dict[str, Plan]
    proposal: ProposalRule


def read_tables(folder: Path) -> Tables:
    """The tables that ship, and the user's own in the data folder. Raises ConfigError with every mistake in any."""
    mistakes: list[str] = []

    def read(table: Callable[[Path], Table], nothing: Table, place: Path = folder) -> Table:
        try:
            return table(place)
        except ChanterdError as error:
            mistakes.append(str(error))
            return nothing

    tables = Tables(
        book=read(read_book, Book(())),
        standards=read(read_standards, {}, folder / "standards"),
        profiles=read(load_profiles, {}),
        layouts=read(read_layouts, {}),
        schedules=read(read_schedules, {}),
        tunings=read(read_tunings, {}),
        paces=read(read_paces, {}),
        plans={},
        proposal=standard_proposal_rule(),
    )
    if not mistakes:  # these are read by the other tables: their mistakes would be told as their own
        shelf = Shelf(tables.book, tables.standards, tables.layouts)
        tables = replace(
            tables,
            plans=read(lambda place: read_plans(shelf, place), {}),
            proposal=read(lambda place: read_proposal_rule(tables.book, place), tables.proposal),
        )
    if mistakes:
        raise ConfigError("\n".join(mistakes))
    return tables
