"""Reads the counts of ornaments in real tunes: ``ornament_counts.toml``, whose head says what they are."""

import tomllib
from dataclasses import dataclass
from pathlib import Path

from chanterd.music.note import Note, note_from_abc

FILE = Path(__file__).parent / "ornament_counts.toml"


@dataclass(frozen=True, slots=True)
class Group:
    """Gracenotes as written on a melody note."""

    gracenotes: tuple[Note, ...]
    theme: Note

    @property
    def size(self) -> str:
        """The row of the totals that it belongs to."""
        return "one" if len(self.gracenotes) == 1 else "two or more"


@dataclass(frozen=True, slots=True)
class Counted:
    """How often these groups, taken together, were found after each note."""

    groups: tuple[Group, ...]
    leads: dict[Note, int]


@dataclass(frozen=True, slots=True)
class Counts:
    """Everything that was counted."""

    total: dict[str, int]
    not_found: dict[str, int]
    frequent: tuple[Counted, ...]
    gaps: tuple[Counted, ...]


def read_counts() -> Counts:
    """The table."""
    table = tomllib.loads(FILE.read_text(encoding="utf-8"))
    return Counts(
        total=table["total"],
        not_found=table["not_found"],
        frequent=tuple(_counted([row["group"]], row["leads"]) for row in table["group"]),
        gaps=tuple(_counted(row["groups"], row["leads"]) for row in table["gap"]),
    )


def _counted(groups: list[list[str]], leads: dict[str, int]) -> Counted:
    return Counted(
        tuple(Group(tuple(map(note_from_abc, graces)), note_from_abc(theme)) for graces, theme in groups),
        {note_from_abc(lead): count for lead, count in leads.items()},
    )
