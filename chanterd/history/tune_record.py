"""A run through a tune for the writer, when it is over: what was played, and how each ornament of the book went."""

from dataclasses import dataclass

from chanterd.history.wall_clock import WallTime
from chanterd.music.units import Bpm


@dataclass(frozen=True, slots=True)
class TuneBegun:
    """Whose run it is, and when it began."""

    key: str
    """32 letters and digits that no other run has."""
    player: int
    """The player's number in the history."""
    name: str
    """The player's name, for what they play if they are deleted meanwhile."""
    wall: WallTime


@dataclass(frozen=True, slots=True)
class WayPlayed:
    """One drill of the book, over all places where the passage asks for it."""

    drill: str
    played: int
    clean: int


@dataclass(frozen=True, slots=True)
class TunePassage:
    """What was played of a tune, and how it went."""

    tune: str
    """What it goes by on the shelf of tunes."""
    first: int
    last: int
    """Its notes in the tune as written, both included."""
    click_bpm: Bpm
    click_off: bool
    standard: str
    ornaments: int
    clean: int
    ways: tuple[WayPlayed, ...]


@dataclass(frozen=True, slots=True)
class TuneRunEnded:
    """A run through a tune or a passage of it is over."""

    begun: TuneBegun
    passage: TunePassage
