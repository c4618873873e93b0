"""What a player does at the moment: practise, teach the daemon a chanter, or calibrate. One at a time, on one seat."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import mido

from chanterd.hearing.source import Cue
from chanterd.judging.hand import RunPlayed
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.run import COUNT_IN_CLICKS
from chanterd.serving.wire.frames import Frame

LEAD_IN_NS = 600 * NS_PER_MS
"""From the start button to the first count-in click: time for the page to schedule it."""
STOPPED = "stopped"
"""Why it ended: the player pressed stop. Any other end gives its own reason."""


@dataclass(frozen=True, slots=True)
class Output:
    """Where an activity sends what it has to show: its seat, where frames go, and the clock."""

    seat: str
    publish: Callable[[Frame], None]
    clock: Callable[[], Ns]
    played: list[RunPlayed] = field(default_factory=list)
    """The last runs of the player at this seat, oldest first: the hand is held against itself in them."""

    def first_beat(self, click_bpm: Bpm) -> Ns:
        """When beat 0 of something that starts now falls, after the count-in."""
        return beat_after_count_in(click_bpm, self.clock())


def beat_after_count_in(click_bpm: Bpm, now_ns: Ns) -> Ns:
    """When beat 0 falls if the count-in is announced now."""
    return TempoGrid(click_bpm, Ns(now_ns + LEAD_IN_NS)).at(COUNT_IN_CLICKS)


class Activity(Protocol):
    """Something that listens for a while. It publishes its own frames."""

    @property
    def cue(self) -> Cue:
        """What to play, for the inputs that perform."""
        ...

    @property
    def corrected(self) -> bool:
        """Whether what it hears has the calibration taken off."""
        ...

    def begin(self) -> None:
        """Publish the beginning."""
        ...

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """A message came in."""
        ...

    def hear(self, heard: Heard) -> None:
        """The ear heard something; comes after the message it was heard in."""
        ...

    def tick(self, now_ns: Ns) -> bool:
        """Time passes, on the same scale as the stamps. False: it is over, and its last frame has been published."""
        ...

    def finish(self) -> None:
        """The input has ended: publish what can still be judged."""
        ...

    def end(self, why: str = STOPPED) -> None:
        """Broken off, and why: publish that it is no more."""
        ...
