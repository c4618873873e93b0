"""Feedback schedules: which reps are told, and when. The table is ``configs/feedback.toml``; teachers may add to it."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chanterd.config import ChanterdError, Complaints, did_you_mean, read_rows

FILE = "feedback.toml"
CHOICES = ("one_of", "together", "outside_percent", "say_first")
MOST_REPS = 50


@dataclass(frozen=True, slots=True)
class Schedule:
    """One schedule. At most one of the four fields after ``said`` differs from its default, which tells every rep."""

    name: str
    said: str
    one_of: int = 1
    """Of so many reps the first is told."""
    together: int = 1
    """So many reps are told together."""
    outside_percent: float | None = None
    """Only what is off by more than that is told."""
    say_first: bool = False
    """A rep is told once the player has guessed."""

    @property
    def tells_all(self) -> bool:
        """Whether nothing is ever kept back, so that steps may be shown as they are heard."""
        return self.one_of == self.together == 1 and self.outside_percent is None and not self.say_first


EVERY_REP = Schedule("every rep", "Every rep is told.")
"""For what tells every rep whatever the player chose."""


def read_schedules(folder: Path | None = None) -> dict[str, Schedule]:
    """The bundled schedules by name, then those of ``folder / "feedback.toml"``, which add to them or replace them.

    Raises ConfigError with everything that is wrong with a file.
    """
    return read_rows(FILE, "feedback", folder, _schedule)


def _schedule(complaints: Complaints, where: str, row: dict[str, Any]) -> Schedule:
    complaints.unknown_keys(where, row, ("name", "said", *CHOICES))
    band = "outside_percent" in row
    schedule = Schedule(
        name=complaints.take_text(where, row, "name"),
        said=complaints.take_text(where, row, "said"),
        one_of=round(complaints.take_number(where, row, "one_of", 1, MOST_REPS, default=1)),
        together=round(complaints.take_number(where, row, "together", 1, MOST_REPS, default=1)),
        outside_percent=complaints.take_number(where, row, "outside_percent", 1, 100) if band else None,
        say_first=complaints.take_flag(where, row, "say_first", default=False),
    )
    for key in ("one_of", "together"):
        if isinstance(row.get(key), float) and not row[key].is_integer():
            complaints.add(where, f"'{key}' is {row[key]!r}; it must be a whole number.")
    chosen = [key for key in CHOICES if key in row]
    if len(chosen) > 1:
        complaints.add(where, f"{' and '.join(map(repr, chosen))} are both there; choose one of them.")
    return schedule


def find_schedule(name: str | None, schedules: dict[str, Schedule]) -> Schedule:
    """The schedule of that name; the first if none is named. Raises ChanterdError with a guess at the one meant."""
    if name is None:
        return next(iter(schedules.values()))
    if name in schedules:
        return schedules[name]
    known = ", ".join(schedules)
    raise ChanterdError(f"The feedback '{name}' is not known.{did_you_mean(name, schedules)} Known are: {known}.")
