"""What every seat shares, and what a class wants of a seat's run."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from chanterd.hearing.chanter import Profile
from chanterd.history.history import History
from chanterd.music.units import Ns
from chanterd.serving.seats.arrangement import Arrangement
from chanterd.serving.seats.input_memory import InputMemory
from chanterd.serving.seats.placements import Placements
from chanterd.serving.seats.unasked import Unasked
from chanterd.serving.wire import frames


@dataclass(frozen=True, slots=True)
class Services:
    """What every seat shares: where frames go, the clock, where things are kept, and the chanters that are known."""

    publish: Callable[[frames.Frame], None]
    renew: Callable[[], None]
    """Makes the pages fetch the whole state again."""
    clock: Callable[[], Ns]
    folder: Path
    memory: InputMemory
    profiles: dict[str, Profile]
    """By name; the first one is for a chanter of which nothing is known. What a seat learns is added."""
    history: History
    placements: Placements
    unasked: Unasked
    """For whoever plays with no drill chosen."""
    arrangement: Arrangement
    """Who keeps nothing is named there."""


@dataclass(frozen=True, slots=True)
class Attended:
    """A run that belongs to a class."""

    keep: bool
    """Whether the player wants it in their history."""
    began: Callable[[str], None]
    """Hears the key of a run that is kept."""
