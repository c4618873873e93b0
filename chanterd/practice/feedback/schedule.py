"""Feedback schedules: which reps are shown, and when. The table is ``configs/feedback.toml``; teachers can add."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, NotRequired

from annotated_types import Interval
from typing_extensions import TypedDict

from chanterd.config import find
from chanterd.table_file import load_rows
from chanterd.values import Sentence, Title, Whole, table

CHOICES = ("one_of", "together", "outside_percent", "say_first")
MOST_REPS = 50


@dataclass(frozen=True, slots=True)
class Schedule:
    """One schedule. At most one of the four fields after ``said`` differs from its default, which shows every rep."""

    name: str
    said: str
    one_of: int = 1
    """The first of this number of reps is shown."""
    together: int = 1
    """This number of reps is shown together."""
    outside_percent: float | None = None
    """Only what is off by more than this is shown."""
    say_first: bool = False
    """A rep is shown once the player has guessed."""

    @property
    def shows_all(self) -> bool:
        """Whether nothing is ever kept back, so that steps may be shown as they are heard."""
        return self.one_of == self.together == 1 and self.outside_percent is None and not self.say_first


EVERY_REP = Schedule("every rep", "You see every rep.")
"""For what shows every rep whatever the player chose."""


Reps = Annotated[int, Interval(ge=1, le=MOST_REPS), Whole()]


@table
class ScheduleTable(TypedDict):
    """A row of the table."""

    name: Title
    said: Sentence
    one_of: NotRequired[Reps]
    together: NotRequired[Reps]
    outside_percent: NotRequired[Annotated[float, Interval(ge=1, le=100)]]
    say_first: NotRequired[bool]


def read_schedules(folder: Path | None = None) -> dict[str, Schedule]:
    """The schedules that ship, then those of the folder, by name. Raises ConfigError with every mistake."""
    return load_rows("feedback", "feedback", folder, ScheduleTable, lambda row: Schedule(**row), [_choice_mistake])


def _choice_mistake(_: ScheduleTable, written: Mapping[str, Any]) -> str | None:
    chosen = [key for key in CHOICES if key in written]
    return f"{' and '.join(map(repr, chosen))} are both there; choose one of them." if len(chosen) > 1 else None


def find_schedule(name: str | None, schedules: dict[str, Schedule]) -> Schedule:
    """The schedule of that name, or the first. Raises ChanterdError with a guess at the one you mean."""
    return find("feedback", name, schedules)
