"""What following finds out: which asked step each onset was, and at the end the reading of a whole segment.

Conventions: ``rep`` is the turn, from 0: the rep of a drill, or a coming-by of a note of a tune. Steps count from 0
too, the theme note is the last one, the lead is step -1. Times are on the clock, in ns.

Sounds and steps are named tuples, which cannot be changed either: several are made for every onset, and a frozen
dataclass takes up to six times as long to make.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from chanterd.music.note import Note
from chanterd.music.units import Ns

LEAD = -1


class StepState(StrEnum):
    """How an asked step was met."""

    PLAYED = "played"
    WRONG_NOTE = "wrong note"
    MISSING = "missing"
    MERGED = "merged"
    """Equal to the note that was sounding, so it could not have an onset of its own."""


class ExtraKind(StrEnum):
    """What a note was that nobody asked for."""

    CROSSING_NOISE = "crossing noise"
    """Short, and its fingering is one that the moving fingers pass through."""
    EXTRA_NOTE = "extra note"
    BOUNCE = "bounce"
    """The chanter sent the sounding note again."""


class Sound(NamedTuple):
    """A note that was heard."""

    note: Note
    onset_ns: Ns
    length_ns: Ns | None
    """Until the next onset or silence; None while it still sounds."""


class StepFound(NamedTuple):
    """The present reading of one step; a later one for the same rep and step replaces it."""

    rep: int
    step: int
    state: StepState
    sound: Sound | None
    """None unless the state is ``played`` or ``wrong note``."""


@dataclass(frozen=True, slots=True)
class Extra:
    """A heard note that belongs to no step."""

    sound: Sound
    kind: ExtraKind


@dataclass(frozen=True, slots=True)
class SegmentRead:
    """The final reading of one coming-by of a segment: what a follower hands to the judge."""

    rep: int
    lead: StepFound
    steps: tuple[StepFound, ...]
    extras: tuple[Extra, ...]
    shift_ns: float = 0.0
    """How far from the grid it was expected, by the reps before it; + = late."""
    price: float = 0.0
    """What the reading costs, see ``cost``; no other reading of the same onsets costs less."""
    lead_shift_ns: float = 0.0
    """How much later than the rest of the rep the lead was expected, at the player's own pace; see ``pulse``."""

    @property
    def skipped(self) -> bool:
        """Whether no step of it was played (a lead or theme that only went on sounding does not count)."""
        return all(found.sound is None for found in self.steps)


Finding = StepFound | SegmentRead
