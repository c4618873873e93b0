"""Plans of practice: drills and passages of tunes one after the other, warm-up first, each for some time or a ladder.

One TOML file a plan, in ``configs/plans/`` and in the data folder's ``plans/``; the comments in the shipped ones say
what each word means. A plan is known by its file's name without the ending.
"""

import logging
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, NotRequired

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.config import ConfigError, bundled, find
from chanterd.music.tunes.shelf import Shelf
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.plans.part import Part, parts_from
from chanterd.table_file import TableFile, load, read_toml
from chanterd.values import Sentence, Title, table

LOG = logging.getLogger(__name__)

FOLDER = "plans"
BREAK_AFTER_MINUTES, BREAK_MINUTES = 25.0, 5.0
"""About 5 minutes in every 25 to 30, for hands and ears: common advice, no trial found."""
MOST_PARTS = 100
"""Rows of a plan."""
NO_WARM_UP = "'warm_up' is not true; a plan begins with a warm-up, so put one first."


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan; its first part is a warm-up."""

    key: str
    """Its file's name without the ending."""
    name: str
    said: str
    parts: tuple[Part, ...]
    break_after_minutes: float
    """Of playing, after which a break comes before the next part."""
    break_minutes: float
    own: bool = False
    """Whether it is a file of the data folder, which may be changed; the others ship, or are made for a day."""


@table
class BreaksTable(TypedDict):
    """After how much playing a break is due, and for how long."""

    after_minutes: NotRequired[Annotated[float, Interval(ge=5, le=30)]]
    minutes: NotRequired[Annotated[float, Interval(ge=1, le=60)]]


@table
class PlanTable(TypedDict):
    """A plan; its parts are read one at a time."""

    name: Title
    said: Sentence
    breaks: NotRequired[BreaksTable]
    part: NotRequired[object]


def read_plans(known: Vocabulary | None, folder: Path | None = None) -> dict[str, Plan]:
    """The plans that ship and those of the data folder, by key; a later one replaces an earlier one.

    A plan that ships is left out where a teacher's own tables no longer have what it asks for. Raises ConfigError with
    everything that is wrong with any of the others.
    """
    shelf = _shelf(folder)

    def read(file: TableFile) -> Iterator[tuple[str, Plan]]:
        plan = plan_from(file, known, shelf)
        if file.mistakes and not file.own:
            LOG.warning("The plan '%s' is left out: %s", file.path.stem, " ".join(file.lines()))
            file.mistakes.clear()
        elif plan is not None:
            yield plan.key, plan

    return load(FOLDER, folder, read)


def find_plan(key: str, plans: Mapping[str, Plan]) -> Plan:
    """The plan of that key. Raises ChanterdError with a guess at the one you mean."""
    return find("plan", key, plans)


def _shelf(folder: Path | None) -> Shelf:
    """The tunes that ship, and those of the data folder if there is one."""
    return Shelf(bundled("configs") if folder is None else folder)


def read_plan(path: Path, known: Vocabulary | None, folder: Path | None = None, *, own: bool = True) -> Plan:
    """Read one plan; ``folder`` is the data folder, for its tunes.

    Raises ConfigError with everything that is wrong with it.
    """
    file = TableFile(path.name, path, own, content=read_toml(path))
    plan = plan_from(file, known, _shelf(folder))
    if plan is None:
        raise ConfigError("\n".join(file.lines()))
    return plan


def plan_from(file: TableFile, known: Vocabulary | None, shelf: Shelf) -> Plan | None:
    """The plan that the file's content is, or None if anything is wrong with it, which is noted."""
    on_page = file.names is not None
    before = file.count
    head = file.checked(PlanTable)
    rows = list(file.rows("part"))
    if "part" not in file.content:
        file.add("file", "there is no part; a plan needs at least one, begun by a line [[part]].", "part")
    elif on_page and not rows and file.count == before:
        file.add("file", "The plan has no part; add at least one.", "part")
    if len(rows) > MOST_PARTS:
        file.add("file", f"there are {len(rows)} parts; a plan may have {MOST_PARTS}.")
        return None
    parts = [part for where, row in rows for part in parts_from(file, where, row, known, shelf)]
    if rows and rows[0][1].get("warm_up") is not True:
        said = "The first part is no warm-up; tick it, or move one there." if on_page else NO_WARM_UP
        file.add("part 1", said, "warm_up")
    if head is None or file.count > before:
        return None
    breaks: BreaksTable = head.get("breaks", {})
    after, minutes = breaks.get("after_minutes", BREAK_AFTER_MINUTES), breaks.get("minutes", BREAK_MINUTES)
    return Plan(file.path.stem, head["name"], head["said"], tuple(parts), after, minutes, file.own)
