"""All tables that a teacher may change, read at once, so that all their mistakes are said at once."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from chanterd.config import ChanterdError, ConfigError
from chanterd.hearing.chanter import Profile, load_profiles
from chanterd.judging.advice import standard_remedies
from chanterd.judging.standard import read_standards
from chanterd.music.book import read_book, standard_book
from chanterd.music.fingering import standard_fingering
from chanterd.music.layout import read_layouts, standard_layout
from chanterd.music.pace import Pace, read_paces
from chanterd.music.spread import standard_spread
from chanterd.music.tuning import Tuning, read_tunings
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.feedback.schedule import read_schedules
from chanterd.practice.plans.plan import Plan, read_plans
from chanterd.practice.proposal.rule import ProposalRule, read_proposal_rule

Table = TypeVar("Table")


@dataclass(frozen=True, slots=True)
class Tables(Vocabulary):
    """What ships with the program and the user's own, by name where there are several."""

    profiles: dict[str, Profile]
    tunings: dict[str, Tuning]
    paces: dict[str, Pace]
    plans: dict[str, Plan]
    proposal: ProposalRule


def read_tables(folder: Path) -> Tables:
    """The tables that ship, and the user's own in the data folder.

    Everything else in ``configs`` that practice needs is read too, so that no file is opened while somebody plays.
    Raises ConfigError with every mistake in any table; a broken one is not held against those that name what is in it.
    """
    for standard in (standard_book, standard_fingering, standard_layout, standard_remedies, standard_spread):
        standard()
    mistakes: list[str] = []

    def read(table: Callable[[], Table]) -> Table | None:
        try:
            return table()
        except ChanterdError as error:
            mistakes.append(str(error))
            return None

    book = read(lambda: read_book(folder))
    standards = read(lambda: read_standards(folder))
    layouts = read(lambda: read_layouts(folder))
    profiles, schedules = read(lambda: load_profiles(folder)), read(lambda: read_schedules(folder))
    tunings, paces = read(lambda: read_tunings(folder)), read(lambda: read_paces(folder))
    known = None
    if book is not None and standards is not None and layouts is not None and schedules is not None:
        known = Vocabulary(book, standards, layouts, schedules)
    plans = read(lambda: read_plans(known, folder))
    proposal = read(lambda: read_proposal_rule(book, folder))
    if known is None or profiles is None or tunings is None or paces is None or plans is None or proposal is None:
        raise ConfigError("\n".join(mistakes))
    return Tables(
        known.book, known.standards, known.layouts, known.schedules, profiles, tunings, paces, plans, proposal
    )
