"""What was recognised: an ornament with its sounds, or short notes that are no ornament of the book."""

from dataclasses import dataclass
from typing import NamedTuple

from chanterd.following.reading import Sound
from chanterd.listening.match import Match
from chanterd.listening.ways import Way


class Choice(NamedTuple):
    """One thing that a run of notes may be."""

    price: float
    """Of this reading by itself: its notes and their lengths, whatever was played around it."""
    match: Match

    @property
    def way(self) -> Way:
        """The ornament and its way in."""
        return self.match.variant.way


@dataclass(frozen=True, slots=True)
class Found:
    """An ornament as it was recognised."""

    lead: Sound | None
    """The note before; None after a silence."""
    sounds: tuple[Sound, ...]
    """What was heard after it, the melody note it leads to last."""
    choices: tuple[Choice, ...]
    """What it may be, the likeliest first; none if it is no ornament of the book."""
    others: tuple[Way, ...]
    """Those that are as likely as the first."""

    @property
    def way(self) -> Way | None:
        """The ornament and its way in; None: no ornament of the book."""
        return self.choices[0].way if self.choices else None

    @property
    def words(self) -> str | None:
        """The drill in words; None if the book has none."""
        way = self.way
        return None if way is None else way.words
