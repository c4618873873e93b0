"""Plans of practice: several drills one after the other, warm-up first, each for some minutes, some reps or a ladder.

One TOML file a plan, in ``configs/plans/`` and in the data folder's ``plans/``; the comments in the shipped ones say
what each word means. A plan is known by its file's name without the ending.
"""

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chanterd.config import ChanterdError, Complaints, ConfigError, bundled, did_you_mean, read_toml
from chanterd.judging.standard import Standard
from chanterd.music.drill import Drill, drill_from_words, make_drill
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.layout import Layout
from chanterd.music.ornament import Book
from chanterd.music.units import Bpm
from chanterd.practice.ladder.rule import Rule, rule_asked, rule_mistakes
from chanterd.practice.ladder.words import row_words, say_tempo

LOG = logging.getLogger(__name__)

FOLDER = "plans"
LONGEST_MINUTES = 25
"""Of one part: a break is due after about so long (common advice, no trial found)."""
MOST_REPS = 500
BREAK_AFTER_MINUTES, BREAK_MINUTES = 25.0, 5.0
"""About 5 minutes in every 25 to 30, for hands and ears: common advice, no trial found."""
_PART_KEYS = ("title", "warm_up", "drill", "stages", "click_bpm", "minutes", "reps", "ladder", "standard", "layout")


@dataclass(frozen=True, slots=True)
class Part:
    """One drill of a plan. Exactly one of minutes, reps and rule says how long it goes on."""

    title: str
    warm_up: bool
    drill: Drill
    click_bpm: Bpm
    """A ladder begins at its own first tempo."""
    minutes: float | None
    reps: int | None
    """Played ones; rests are not counted."""
    rule: Rule | None
    standard: str | None
    """None: the one used if none is named."""
    layout: str | None

    @property
    def how_long(self) -> str:
        """In words: ``3 minutes``, ``45 seconds``, ``20 reps``, ``ladder 60 to 80, 3 in a row``."""
        if self.rule is not None:
            row = row_words(self.rule)
            return f"ladder {say_tempo(self.rule.first_bpm)} to {say_tempo(self.rule.top_bpm)}, {row}"
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


@dataclass(frozen=True, slots=True)
class Shelf:
    """What a plan's words are looked up in."""

    book: Book
    standards: Mapping[str, Standard]
    layouts: Mapping[str, Layout]


def read_plans(shelf: Shelf, folder: Path | None = None) -> dict[str, Plan]:
    """The plans that ship and those of the data folder, by key; a later one replaces an earlier one.

    A plan that ships is left out where a teacher's own tables no longer have what it asks for. Raises ConfigError with
    everything that is wrong with any of the others.
    """
    found: dict[str, Plan] = {}
    wrong: list[str] = []
    shipped = bundled("configs") / FOLDER
    for place in (shipped, *([] if folder is None else [folder / FOLDER])):
        for path in sorted(place.glob("*.toml")):
            try:
                found[path.stem] = read_plan(path, shelf)
            except ChanterdError as error:
                if place == shipped:
                    LOG.warning("The plan '%s' is left out: %s", path.stem, error)
                else:
                    wrong.append(str(error))
    if wrong:
        raise ConfigError("\n".join(wrong))
    return found


def find_plan(key: str, plans: Mapping[str, Plan]) -> Plan:
    """The plan of that key. Raises ChanterdError with a guess at the one that was meant."""
    if key in plans:
        return plans[key]
    raise ChanterdError(f"The plan '{key}' is not known.{did_you_mean(key, plans)} Known are: {', '.join(plans)}.")


def drill_stages(drill: Drill) -> list[Drill]:
    """The drill's build-up from its first stage to the full ornament."""
    numbers = [*range(1, drill.stages), None]
    return [make_drill(drill.ornament, drill.lead, drill.theme, number) for number in numbers]


def read_plan(path: Path, shelf: Shelf) -> Plan:
    """Read one plan. Raises ConfigError with everything that is wrong with it."""
    complaints, tables = Complaints(path), read_toml(path)
    complaints.unknown_keys("file", tables, ("name", "said", "breaks", "part"))
    name, said = (complaints.take_text("file", tables, key) for key in ("name", "said"))
    breaks = complaints.take_table("file", tables, "breaks")
    complaints.unknown_keys("breaks", breaks, ("after_minutes", "minutes"))
    after = complaints.take_number("breaks", breaks, "after_minutes", 5, 30, BREAK_AFTER_MINUTES)
    minutes = complaints.take_number("breaks", breaks, "minutes", 1, 60, BREAK_MINUTES)
    rows = tables.get("part", [])
    if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
        complaints.add("file", "there is no part; a plan needs at least one, begun by a line [[part]].")
        rows = []
    parts = [part for number, row in enumerate(rows, 1) for part in _Reader(complaints, shelf, number).parts(row)]
    if rows and rows[0].get("warm_up") is not True:
        complaints.add("part 1", "'warm_up' is not true; a plan begins with a warm-up, so put one first.")
    complaints.raise_if_any()
    return Plan(path.stem, name, said, tuple(parts), after, minutes)


class _Reader:
    """Reads one part, or, with ``stages = true``, a part for each stage of its drill."""

    def __init__(self, complaints: Complaints, shelf: Shelf, number: int) -> None:
        self._complaints = complaints
        self._shelf = shelf
        self._where = f"part {number}"

    def parts(self, row: dict[str, Any]) -> list[Part]:
        """The parts, or none if anything is wrong with it."""
        complaints, where, before = self._complaints, self._where, len(self._complaints.lines)
        complaints.unknown_keys(where, row, _PART_KEYS)
        title = complaints.take_text(where, row, "title", "")
        warm_up = complaints.take_flag(where, row, "warm_up", default=False)
        staged = complaints.take_flag(where, row, "stages", default=False)
        drills = self._drills(row, staged=staged)
        standard = self._named(row, "standard", self._shelf.standards)
        layout = self._named(row, "layout", self._shelf.layouts)
        minutes, reps, rule = self._how_long(row)
        own = rule.first_bpm if rule is not None else SLOWEST_BPM if "ladder" in row else None
        bpm = complaints.take_number(where, row, "click_bpm", SLOWEST_BPM, FASTEST_BPM, own)
        if len(complaints.lines) > before:
            return []
        return [Part(title, warm_up, drill, Bpm(bpm), minutes, reps, rule, standard, layout) for drill in drills]

    def _drills(self, row: dict[str, Any], *, staged: bool) -> list[Drill]:
        words = self._complaints.take_text(self._where, row, "drill")
        if not words:
            return []
        try:
            drill = drill_from_words(words, self._shelf.book)
        except ChanterdError as error:
            for line in str(error).splitlines():
                self._complaints.add(self._where, line)
            return []
        return drill_stages(drill) if staged else [drill]

    def _named(self, row: dict[str, Any], key: str, known: Mapping[str, object]) -> str | None:
        name = self._complaints.take_text(self._where, row, key, "")
        if name and name not in known:
            guess = did_you_mean(name, known)
            self._complaints.add(
                self._where, f"'{key}' is '{name}', which is not known.{guess} Known are: {', '.join(known)}."
            )
        return name or None

    def _how_long(self, row: dict[str, Any]) -> tuple[float | None, int | None, Rule | None]:
        complaints, where = self._complaints, self._where
        said = [key for key in ("minutes", "reps", "ladder") if key in row]
        if len(said) != 1:
            found = " and ".join(f"'{key}'" for key in said) or "none of them"
            complaints.add(where, f"it has {found}; say how long by one of 'minutes', 'reps' and 'ladder'.")
            return None, None, None
        if "minutes" in row:
            return complaints.take_number(where, row, "minutes", 0.25, LONGEST_MINUTES), None, None
        if "reps" in row:
            reps = complaints.take_number(where, row, "reps", 1, MOST_REPS)
            if reps != int(reps):
                complaints.add(where, f"'reps' is {reps:g}; it must be a whole number.")
            return None, int(reps), None
        return None, None, self._rule(complaints.take_table(where, row, "ladder"))

    def _rule(self, table: dict[str, Any]) -> Rule | None:
        wrong = rule_mistakes(table)
        for line in wrong:
            self._complaints.add(self._where, line)
        return None if wrong else rule_asked(table)
