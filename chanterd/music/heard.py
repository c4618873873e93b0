"""What hearing passes on: onsets, silences and strays, each stamped on the daemon's monotonic clock."""

from dataclasses import dataclass

from chanterd.music.note import Note
from chanterd.music.units import Ns


@dataclass(frozen=True, slots=True)
class Onset:
    """A note began to sound. It lasts until the next onset or silence: a chanter plays one note at a time."""

    note: Note
    at_ns: Ns
    bounce: bool = False
    """True when the chanter sent the sounding note again within its bounce time: heard, but not played."""


@dataclass(frozen=True, slots=True)
class Silence:
    """The chanter fell silent: the player stopped blowing, or it sent all-notes-off."""

    at_ns: Ns


@dataclass(frozen=True, slots=True)
class Stray:
    """A MIDI note number that the chanter's profile does not know; shown to the user, followed by nobody."""

    midi: int
    at_ns: Ns


Heard = Onset | Silence | Stray
