"""What an ornament is: its name, its sound, its spellings; and the book that holds them all.

Conventions: a spelling lists the steps before the theme note; step indices count from 0. The tables that these are
read from, and their words, are explained in ``configs/ornaments``.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from chanterd.config import ChanterdError, did_you_mean, quoted
from chanterd.music.note import Note


class Kind(StrEnum):
    """What a step is for: quick ones only articulate, held ones carry the rhythm, the theme is the melody note."""

    QUICK = "quick"
    HELD = "held"
    THEME = "theme"


Motion = Literal["any", "level", "level or up"]


@dataclass(frozen=True, slots=True)
class SpelledStep:
    """One step as written in the table; note None means the theme note."""

    note: Note | None
    kind: Kind
    times: int = 1
    """How many ordinary steps of its kind it lasts: the E of a cadence is long, and written so."""
    passing: bool = False
    """Whether the melody may pass through it on its way up or down; other quick steps stand out from both sides."""
    gracenote: bool = False
    """Whether pipers call it a gracenote though it is lower than its neighbours, which else makes it a tap."""

    def on(self, theme: Note) -> Note:
        """The note it is on this theme note."""
        return theme if self.note is None else self.note


@dataclass(frozen=True, slots=True)
class Spelling:
    """One way to spell an ornament, and between which notes it is used."""

    themes: frozenset[Note]
    leads: frozenset[Note]
    motion: Motion
    steps: tuple[SpelledStep, ...]

    def serves(self, lead: Note, theme: Note) -> bool:
        """Whether the table offers this spelling between the two notes."""
        moves = {"any": True, "level": theme == lead, "level or up": theme >= lead}[self.motion]
        return theme in self.themes and lead in self.leads and moves

    def on(self, theme: Note) -> tuple[Note, ...]:
        """The notes of the steps on this theme note, the theme itself last."""
        return (*(step.on(theme) for step in self.steps), theme)

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """The kinds of the steps, without the theme."""
        return tuple(step.kind for step in self.steps)

    @property
    def passing(self) -> frozenset[int]:
        """The indices of the steps that the melody may pass through."""
        return frozenset(index for index, step in enumerate(self.steps) if step.passing)


@dataclass(frozen=True, slots=True)
class Ornament:
    """One ornament of the book."""

    name: str
    also: tuple[str, ...]
    """Other names in use."""
    chapter: str
    """The part of the book it is in."""
    how: str
    """How it should sound, one sentence."""
    disputed: str
    """What teachers disagree about; empty if nothing."""
    beat: int | None
    """Index of the step on the beat; None: the theme note."""
    or_beats: tuple[int | None, ...]
    """Where other teachers put the beat, in the same way."""
    instead: tuple["Ornament", ...]
    """What may take its place where it cannot be played, the first choice first; these name no others in turn."""
    builds_on: "Ornament | None"
    """The ornament whose build-up is learned first; None if its own begins from nothing."""
    build: tuple[tuple[int, ...], ...]
    """Indices of the steps kept at each stage; empty: by the general rule."""
    spellings: tuple[Spelling, ...]
    """The first that serves and can sound is the one played."""
    as_in_book: "Ornament | None" = None
    """Where the beat is at the place of another school: the ornament as the book has it; else None."""

    def __hash__(self) -> int:
        """By its name alone: of all its spellings it would be worked out again at each look-up, and takes longer."""
        return hash(self.name)

    @property
    def moved(self) -> bool:
        """Whether its beat is not where the book puts it."""
        return self.as_in_book is not None

    @property
    def themes(self) -> tuple[Note, ...]:
        """Every theme note it is played on, rising."""
        return tuple(sorted({theme for spelling in self.spellings for theme in spelling.themes}))

    @property
    def names(self) -> tuple[str, ...]:
        """Its name and the others in use."""
        return (self.name, *self.also)


def plain(words: str) -> str:
    """Words as they are compared: lower case, hyphens as blanks, single blanks."""
    return " ".join(words.lower().replace("-", " ").split())


class Book:
    """All ornaments, in the order in which they are taught."""

    def __init__(self, ornaments: Iterable[Ornament]) -> None:
        self.ornaments = tuple(ornaments)
        self._named = {plain(name): ornament for ornament in self.ornaments for name in ornament.names}

    def find(self, words: str) -> Ornament:
        """The ornament of that name, or of that other name. Raises ChanterdError with a guess at what was meant."""
        found = self.get(words)
        if found is None:
            guess = did_you_mean(plain(words), self._named)
            mend = guess or f" Known are: {', '.join(ornament.name for ornament in self.ornaments)}."
            raise ChanterdError(f"{quoted(words)} is not an ornament in the book.{mend}")
        return found

    def get(self, words: str) -> Ornament | None:
        """The ornament of that name, or of that other name, if there is one."""
        return self._named.get(plain(words))
