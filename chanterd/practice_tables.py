"""All tables that a teacher may change, read at once, so that all their mistakes are said at once."""

from dataclasses import dataclass, fields
from pathlib import Path

from chanterd.config import ConfigError
from chanterd.judging.advice import standard_remedies
from chanterd.music.book import standard_book
from chanterd.music.fingering import standard_fingering
from chanterd.music.layout import standard_layout
from chanterd.music.spread import standard_spread
from chanterd.practice.plans.plan import BrokenPlan, Plan, read_plans
from chanterd.practice.proposal.rule import ProposalRule, read_proposal_rule
from chanterd.tables import Tables, TablesReading


@dataclass(frozen=True, slots=True)
class PracticeTables(Tables):
    """What playing is judged by, and what is practised by."""

    plans: dict[str, Plan]
    broken_plans: dict[str, BrokenPlan]
    """Own ones that cannot be used now."""
    proposal: ProposalRule


def read_practice_tables(folder: Path) -> PracticeTables:
    """All tables that ship, and the user's own in the data folder.

    Everything else in ``configs`` that practice needs is read too, so that no file is opened while somebody plays.
    Raises ConfigError with every mistake in any table; a broken one is not held against those that name what is in it.
    A plan of the user's own that cannot be used is among them only then: by itself it is set apart, since nothing
    depends on it.
    """
    for standard in (standard_book, standard_fingering, standard_layout, standard_remedies, standard_spread):
        standard()
    reading = TablesReading(folder)
    book, known, tables = reading.judging()
    broken: dict[str, BrokenPlan] = {}
    plans = reading.read(lambda: read_plans(known, folder, broken))
    proposal = reading.read(lambda: read_proposal_rule(book, folder))
    if tables is None or plans is None or proposal is None:
        raise ConfigError("\n".join([*reading.mistakes, *(line for one in broken.values() for line in one.mistakes)]))
    ours = {field.name: getattr(tables, field.name) for field in fields(tables)}
    return PracticeTables(**ours, plans=plans, broken_plans=broken, proposal=proposal)
