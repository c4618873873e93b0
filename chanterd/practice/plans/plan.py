"""Plans of practice: drills and passages of tunes one after the other, warm-up first, each for some time or a ladder.

One TOML file a plan, in ``configs/plans/`` and in the data folder's ``plans/``; the comments in the shipped ones say
what each word means. A plan is known by its file's name without the ending.
"""

import json
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.config import ConfigError, bundled, find
from chanterd.music.tunes.shelf import Shelf
from chanterd.practice.exercise import Vocabulary
from chanterd.practice.plans.part import Part, parts_from
from chanterd.table_file import TableFile, read_toml, table_paths
from chanterd.values import Sentence, Text, Title, table

LOG = logging.getLogger(__name__)

FOLDER = "plans"
BREAK_AFTER_MINUTES, BREAK_MINUTES = 25.0, 5.0
"""About 5 minutes in every 25 to 30, for hands and ears: common advice, no trial found."""
MOST_PARTS = 100
"""Rows of a plan."""
LONGEST_NAME = Text(80)
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


@dataclass(frozen=True, slots=True)
class BrokenPlan:
    """An own plan that cannot be used as its file is now, or as what it names is now: it is set apart until mended."""

    key: str
    name: str
    """As its file says, or else its key."""
    mistakes: tuple[str, ...]
    """All of them, a line each, with the file and the place in it."""
    fits_form: bool
    """Whether the form on the page can open it; otherwise its file has to be mended by hand, or deleted."""
    own: bool = True

    @property
    def said(self) -> str:
        """Which plan cannot be used, why, and how to mend it."""
        return f"The plan '{self.name}' cannot be used: " + "\n".join(self.mistakes)


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


def read_plans(
    known: Vocabulary | None, folder: Path | None = None, broken: dict[str, BrokenPlan] | None = None
) -> dict[str, Plan]:
    """The plans that ship and those of the data folder, by key; a later one replaces an earlier one.

    A plan that ships is left out where a teacher's own tables no longer have what it asks for. One of the data folder
    goes into ``broken``, by its key, if anything is wrong with it: nothing else depends on a plan, and a tune that it
    names may be gone through no mistake of its own. Without ``broken`` ConfigError is raised with everything that is
    wrong with any of them.
    """
    shelf, unfit, apart = _shelf(folder), list[str](), dict[str, BrokenPlan]()
    plans: dict[str, Plan] = {}
    for path, name, own in table_paths(FOLDER, folder, unfit):
        found = plan_in(path, name, known, shelf, own=own)
        if isinstance(found, Plan):
            plans[found.key] = found
        elif own:
            apart[found.key] = found
            plans.pop(found.key, None)
        else:
            LOG.warning("The plan '%s' is left out: %s", found.key, " ".join(found.mistakes))
    if broken is None:
        unfit += [line for one in apart.values() for line in one.mistakes]
        if unfit:
            raise ConfigError("\n".join(unfit))
        return plans
    for line in unfit:
        LOG.warning("%s", line)
    broken.update(apart)
    return plans


def plan_in(path: Path, name: str, known: Vocabulary | None, shelf: Shelf, *, own: bool) -> Plan | BrokenPlan:
    """The plan in a file, or why it cannot be used; ``name`` is what mistakes call the file."""
    try:
        file = TableFile(name, path, own, read_toml(path))
    except ConfigError as error:
        return BrokenPlan(path.stem, path.stem, (str(error).replace(str(path), name),), fits_form=False, own=own)
    plan = plan_from(file, known, shelf)
    if plan is not None and not file.mistakes:
        return plan
    called = file.content.get("name")
    name = called if isinstance(called, str) and LONGEST_NAME.allows(called) else path.stem
    return BrokenPlan(path.stem, name, tuple(file.lines()), _fits_form(file.content), own)


def _fits_form(content: dict[str, Any]) -> bool:
    """Whether the form can show all that is written: its tables are where a plan has some, and JSON can carry it."""
    rows, breaks = content.get("part", []), content.get("breaks", {})
    if not (isinstance(rows, list) and isinstance(breaks, dict) and all(isinstance(row, dict) for row in rows)):
        return False
    if not all(isinstance(row.get(key, {}), dict) for row in rows for key in ("ladder", "widen")):
        return False
    try:
        json.dumps(content, allow_nan=False)
    except (TypeError, ValueError):  # a date, or a number that is none
        return False
    return len(rows) <= MOST_PARTS


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
