"""Which fingers move between two notes, and which notes may sound for a moment when they do not move together.

The table is ``configs/fingering.toml`` (common practice, from memory). Holes count from 0 (thumb) to 7 (little finger).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Annotated, Any

from typing_extensions import TypedDict

from chanterd.config import ChanterdError, bundled, quoted
from chanterd.music.note import Note, NoteName, missing_notes
from chanterd.table_file import read_one
from chanterd.values import Read, table

FINGERS = (
    "thumb",
    "left index finger",
    "left middle finger",
    "left ring finger",
    "right index finger",
    "right middle finger",
    "right ring finger",
    "right little finger",
)


LITTLE_FINGER = len(FINGERS) - 1
"""Its hole."""


@dataclass(frozen=True, slots=True)
class Passing:
    """The fingers of one change of notes at the moment when a third note sounded; holes count from 0, rising."""

    moved: tuple[int, ...]
    """Those that were already as in the note after."""
    late: tuple[int, ...]
    """Those that were still as in the note before."""

    @property
    def explains(self) -> bool:
        """Whether some had moved and some had not: only then were they apart."""
        return bool(self.moved and self.late)


@dataclass(frozen=True, slots=True)
class Fingering:
    """The fingering of the nine notes; ``closed[note]`` holds a truth value a hole, thumb first."""

    closed: tuple[tuple[bool, ...], ...]

    def moved(self, a: Note, b: Note) -> tuple[int, ...]:
        """The holes whose finger moves between two notes, in rising order."""
        return tuple(hole for hole in range(len(FINGERS)) if self.closed[a][hole] != self.closed[b][hole])

    def passing(self, before: Note, noise: Note, after: Note) -> Passing:
        """Which moving fingers had moved when ``noise`` sounded, and which had not; none if it is no crossing."""
        if noise not in self.crossing(before, after):
            return Passing((), ())
        moving, there = self.moved(before, after), self.closed[after]
        moved = tuple(hole for hole in moving if self.closed[noise][hole] == there[hole])
        return Passing(moved, tuple(hole for hole in moving if hole not in moved))

    def little_finger(self, a: Note, b: Note) -> frozenset[Note]:
        """The notes besides those of :meth:`crossing` that sound if the little finger comes up on the way.

        It has to stay down between low G and C or D, and often does not (common practice, no source).
        """
        if not (self.closed[a][LITTLE_FINGER] and self.closed[b][LITTLE_FINGER]):
            return frozenset()
        return self._agreeing(a, b, free=LITTLE_FINGER) - self.crossing(a, b)

    def crossing(self, a: Note, b: Note) -> frozenset[Note]:
        """The other notes that the moving fingers may pass through: they agree with both wherever no finger moves."""
        return self._agreeing(a, b)

    def _agreeing(self, a: Note, b: Note, free: int | None = None) -> frozenset[Note]:
        """The other notes that agree with both wherever no finger moves, but for a hole that is ``free``."""
        holes = (hole for hole in range(len(FINGERS)) if hole != free)
        still = [hole for hole in holes if self.closed[a][hole] == self.closed[b][hole]]
        return frozenset(
            note
            for note in Note
            if note not in (a, b) and all(self.closed[note][hole] == self.closed[a][hole] for hole in still)
        )


def _holes(text: str) -> tuple[bool, ...]:
    holes = text.replace(" ", "")
    if len(holes) != len(FINGERS) or set(holes) - {"x", "o"}:
        raise ChanterdError(f"{quoted(text)} must be eight holes, each x (closed) or o (open).")
    return tuple(hole == "x" for hole in holes)


@table
class FingeringTable(TypedDict):
    """The file."""

    fingering: dict[NoteName, Annotated[tuple[bool, ...], Read(_holes)]]


def _notes_mistake(_: FingeringTable, written: Mapping[str, Any]) -> str | None:
    return missing_notes("fingering", written.get("fingering"))


def read_fingering(path: Path) -> Fingering:
    """Read the table. Raises ConfigError with everything that is wrong with it."""
    holes = read_one(path, FingeringTable, [_notes_mistake])["fingering"]
    return Fingering(tuple(holes[note] for note in Note))


@cache
def standard_fingering() -> Fingering:
    """The table that ships with the program."""
    return read_fingering(bundled("configs") / "fingering.toml")


@cache
def crossing_notes(a: Note, b: Note) -> frozenset[Note]:
    """The notes that may sound for a moment between ``a`` and ``b`` when the fingers do not move together."""
    return standard_fingering().crossing(a, b)


@cache
def noise_notes(a: Note, b: Note) -> frozenset[Note]:
    """The same, and those that sound when the little finger comes up meanwhile."""
    return crossing_notes(a, b) | standard_fingering().little_finger(a, b)


@cache
def is_little_finger(before: Note, noise: Note, after: Note) -> bool:
    """Whether a noise between two notes is the little finger coming up, by the table that ships."""
    return noise in standard_fingering().little_finger(before, after)


@cache
def fingers_moved(a: Note, b: Note) -> int:
    """How many fingers move between two notes."""
    return len(standard_fingering().moved(a, b))


@cache
def passing(before: Note, noise: Note, after: Note) -> Passing:
    """Which fingers had moved when a note sounded on the way between two others, by the table that ships."""
    return standard_fingering().passing(before, noise, after)
