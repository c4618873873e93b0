"""What every input looks like from outside: a source delivers stamped MIDI messages and reports how it is.

A port, a file, a device file and the simulated player are all sources; a listener cannot see which it is.
Callbacks run on the source's own thread and must return quickly.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal, Protocol

import mido

from chanterd.music.note import Note
from chanterd.music.units import Ns

SourceState = Literal["ready", "waiting", "gone", "no driver", "ended"]
"""ready: delivering. waiting: not there yet. gone: was there, unplugged. ended: a file has been played."""


@dataclass(frozen=True, slots=True)
class SourceStatus:
    """How a source is, with one sentence for a person about what to do."""

    state: SourceState
    said: str
    timing: Literal["driver", "arrival"] = "arrival"
    """Whether stamps rest on the driver's own time or on when the message reached us."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """One rep as it is to be played."""

    notes: tuple[Note, ...]
    """Lead first, theme last; steps that cannot sound are left out."""
    offsets_ns: tuple[Ns, ...]
    """The expected onset of each of the notes from the start of the rep; same length as ``notes``."""


@dataclass(frozen=True, slots=True)
class Cue:
    """A run is about to begin: what is to be played, and when. Files and the demo play by it, a live chanter not."""

    beat0_ns: Ns
    """When rep 0 starts on the daemon's clock; for a file, its time 0."""
    rep_ns: Ns
    """Length of one rep."""
    phrases: tuple[Phrase, ...]
    """What is to be played in reps 0, 1, 2, ..., over and over; a single one if it is always the same."""
    click_off: bool = False
    """The click stops after the count-in: the simulated player then goes by a pulse of its own."""

    performance: Callable[[int], Iterable[tuple[mido.Message, Ns]]] | None = None
    """How a simulated player with that seed plays it, in ns from beat 0; None: rep after rep, as in ``phrases``."""

    def phrase(self, rep: int) -> Phrase:
        """What is to be played in that rep."""
        return self.phrases[rep % len(self.phrases)]


Deliver = Callable[[mido.Message, Ns], None]
Report = Callable[[SourceStatus], None]


class Source(Protocol):
    """An input. ``start`` returns at once; nothing is delivered after ``stop`` has returned."""

    @property
    def name(self) -> str:
        """What to call it on screen, such as the port's name."""
        ...

    def start(self, deliver: Deliver, report: Report) -> None:
        """Begin to deliver messages and to report each change of status, the first one soon."""
        ...

    def stop(self) -> None:
        """Stop delivering and close the device. May be called twice."""
        ...

    def cue(self, cue: Cue | None) -> None:
        """A run is about to begin, or (None) is over."""
        ...
