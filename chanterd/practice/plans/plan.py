"""Plans of practice: several drills one after the other, warm-up first, each for some minutes, some reps or a ladder.

One TOML file a plan, in ``configs/plans/`` and in the data folder's ``plans/``; the comments in the shipped ones say
what each word means. A plan is known by its file's name without the ending.
"""

import logging
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import Doc, TypedDict

from chanterd.config import ConfigError, FieldsError, find
from chanterd.music.drill import Drill, make_drill
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.practice.exercise import Exercise, ExerciseWords, Vocabulary, resolve
from chanterd.practice.ladder.words import row_words, say_tempo
from chanterd.sentences import missing
from chanterd.table_file import TableFile, load, read_toml
from chanterd.values import Sentence, Text, Title, Whole, table

LOG = logging.getLogger(__name__)

FOLDER = "plans"
LONGEST_MINUTES = 25
"""Of one part: a break is due after about so long (common advice, no trial found)."""
MOST_REPS = 500
BREAK_AFTER_MINUTES, BREAK_MINUTES = 25.0, 5.0
"""About 5 minutes in every 25 to 30, for hands and ears: common advice, no trial found."""
MOST_PARTS = 100
"""Rows of a plan."""
NO_WARM_UP = "'warm_up' is not true; a plan begins with a warm-up, so put one first."


@dataclass(frozen=True, slots=True)
class Part:
    """One exercise of a plan. Exactly one of minutes, reps and the exercise's ladder says how long it goes on."""

    title: str
    warm_up: bool
    exercise: Exercise
    minutes: float | None
    reps: int | None
    """Played ones; rests are not counted."""

    @property
    def how_long(self) -> str:
        """In words: ``3 minutes``, ``45 seconds``, ``20 reps``, ``ladder 60 to 80, 3 in a row``."""
        ladder = self.exercise.ladder
        if ladder is not None:
            return f"ladder {say_tempo(ladder.first_bpm)} to {say_tempo(ladder.top_bpm)}, {row_words(ladder)}"
        if self.minutes is not None and self.minutes < 1:
            return f"{self.minutes * 60:g} seconds"
        if self.minutes is not None:
            return f"{self.minutes:g} minutes" if self.minutes != 1 else "1 minute"
        return f"{self.reps} reps" if self.reps != 1 else "1 rep"


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
class PartTable(TypedDict):
    """A part, or, with ``stages = true``, a part for each stage of its drill."""

    title: NotRequired[Annotated[str, Text(80, may_be_empty=True)]]
    warm_up: NotRequired[bool]
    drill: Annotated[str, Text(200), Doc("a drill in a piper's words, such as grip from B to C")]
    stages: NotRequired[bool]
    click_bpm: NotRequired[Annotated[float, Interval(ge=SLOWEST_BPM, le=FASTEST_BPM)]]
    minutes: NotRequired[Annotated[float, Interval(ge=0.25, le=LONGEST_MINUTES)]]
    reps: NotRequired[Annotated[int, Interval(ge=1, le=MOST_REPS), Whole()]]
    ladder: NotRequired[dict[str, Any]]
    standard: NotRequired[Title]
    layout: NotRequired[Title]


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

    def read(file: TableFile) -> Iterator[tuple[str, Plan]]:
        plan = plan_from(file, known)
        if file.mistakes and not file.own:
            LOG.warning("The plan '%s' is left out: %s", file.path.stem, " ".join(file.lines()))
            file.mistakes.clear()
        elif plan is not None:
            yield plan.key, plan

    return load(FOLDER, folder, read)


def find_plan(key: str, plans: Mapping[str, Plan]) -> Plan:
    """The plan of that key. Raises ChanterdError with a guess at the one you mean."""
    return find("plan", key, plans)


def drill_stages(drill: Drill) -> list[Drill]:
    """The drill's build-up from its first stage to the full ornament."""
    numbers = [*range(1, drill.stages), None]
    return [make_drill(drill.ornament, drill.lead, drill.theme, number) for number in numbers]


def read_plan(path: Path, known: Vocabulary | None, *, own: bool = True) -> Plan:
    """Read one plan. Raises ConfigError with everything that is wrong with it."""
    file = TableFile(path.name, path, own, content=read_toml(path))
    plan = plan_from(file, known)
    if plan is None:
        raise ConfigError("\n".join(file.lines()))
    return plan


def plan_from(file: TableFile, known: Vocabulary | None) -> Plan | None:
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
    parts = [part for where, row in rows for part in _parts(file, where, row, known)]
    if rows and rows[0][1].get("warm_up") is not True:
        said = "The first part is no warm-up; tick it, or move one there." if on_page else NO_WARM_UP
        file.add("part 1", said, "warm_up")
    if head is None or file.count > before:
        return None
    breaks: BreaksTable = head.get("breaks", {})
    after, minutes = breaks.get("after_minutes", BREAK_AFTER_MINUTES), breaks.get("minutes", BREAK_MINUTES)
    return Plan(file.path.stem, head["name"], head["said"], tuple(parts), after, minutes, file.own)


def _parts(file: TableFile, where: str, written: dict[str, Any], known: Vocabulary | None) -> list[Part]:
    """The parts of a row, or none if anything is wrong with it."""
    before = file.count
    row = file.right(PartTable, where, written, required=["drill"])
    _check_how_long(file, where, written)
    if "ladder" not in written and "click_bpm" not in written:
        file.add(where, missing("click_bpm", PartTable.__annotations__["click_bpm"], file.names), "click_bpm")
    exercises = [] if known is None else _exercises(file, where, row, known)
    if file.count > before:
        return []
    title, warm_up = row.get("title", ""), row.get("warm_up", False)
    return [Part(title, warm_up, exercise, row.get("minutes"), row.get("reps")) for exercise in exercises]


def _exercises(file: TableFile, where: str, row: PartTable, known: Vocabulary) -> list[Exercise]:
    """The exercise of each of the row's stages; what is wrong with its words is noted."""
    ladder = row.get("ladder")
    words = ExerciseWords(
        drill=row.get("drill", ""),
        click_bpm=row.get("click_bpm", None if ladder is not None else SLOWEST_BPM),  # one that is wrong is noted
        standard=row.get("standard"),
        layout=row.get("layout"),
        ladder=ladder,
    )
    if not words.drill:
        return []
    try:
        exercise = resolve(words, known, file.names)
    except FieldsError as errors:
        for one in errors.mistakes:
            file.add(where, one.said, one.field)
        return []
    if not row.get("stages", False):
        return [exercise]
    return [replace(exercise, drill=drill) for drill in drill_stages(exercise.drill)]


def _check_how_long(file: TableFile, where: str, written: Mapping[str, Any]) -> None:
    """Note it if not exactly one of the three ways to say how long is used."""
    given = [key for key in ("minutes", "reps", "ladder") if key in written]
    if len(given) != 1:
        found = " and ".join(f"'{key}'" for key in given) or "none of them"
        file.add(where, f"it has {found}; say how long by one of 'minutes', 'reps' and 'ladder'.", "minutes")
