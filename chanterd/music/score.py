"""A score: what is to be played, segment after segment, in clicks.

A drill is a score of one segment, played over and over; an ornament up and down the scale is one of several.

Conventions: segments count from 0 as they are written. A turn is one coming-by of a segment, counted from 0 as it is
played; a rep of a drill is a turn. Clicks count from beat 0.
"""

from bisect import bisect_right
from dataclasses import dataclass
from math import floor

from chanterd.music.segment import Segment
from chanterd.music.units import Ns


@dataclass(frozen=True, slots=True)
class Score:
    """Segments, and when each of them starts; after the last one it begins with the first again."""

    segments: tuple[Segment, ...]
    starts: tuple[float, ...]
    """By segment, the click on which it starts the first time."""
    length: float
    """Clicks until it begins again."""
    left_out: str = ""
    """What is not played of what was asked for, in one sentence; empty if nothing."""

    def segment(self, turn: int) -> Segment:
        """What is to be played in that turn."""
        return self.segments[turn % len(self.segments)]

    def start(self, turn: int) -> float:
        """The click on which a turn starts."""
        times, index = divmod(turn, len(self.segments))
        return self.starts[index] + self.length * times

    def turn_at(self, click: float) -> int:
        """The turn that is going on at a click; negative before the first."""
        times = floor((click - self.starts[0]) / self.length)
        return len(self.segments) * times + bisect_right(self.starts, click - self.length * times) - 1

    @property
    def turn_ns(self) -> Ns:
        """How long the first turn is, and each of them where all are alike."""
        return self.segments[0].lasts_ns

    @property
    def changes(self) -> bool:
        """Whether not all turns ask for the same."""
        return len(self.segments) > 1
