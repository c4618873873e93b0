"""A score: what is to be played, segment after segment, in clicks.

A drill is a score of one segment, played over and over; an ornament up and down the scale is one of several. A tune has
a segment for each melody note with its gracenotes, and its repeats are ways back and on.

Conventions: segments count from 0 as they are written. A turn is one coming-by of a segment, counted from 0 as it is
played; a rep of a drill is a turn. Clicks count from beat 0, in a tune as written, repeats not unfolded.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from math import floor
from typing import NamedTuple

from chanterd.music.segment import Segment
from chanterd.music.units import Ns


class Way(IntEnum):
    """What an edge is."""

    NEXT = 0
    """To what is written next, or back to the beginning of what is played over and over."""
    AGAIN = 1
    """Back, at the sign of a repeat."""
    ON = 2
    """On, past the sign of a repeat or past its first ending."""
    FIRST = 3
    """Into a first ending."""


class Edge(NamedTuple):
    """What may be played after a segment."""

    to: int
    """The segment."""
    gap: float
    """Clicks from the one to the other, as written."""
    way: Way = Way.NEXT
    repeat: int = 0
    """The number of the repeat that it is about, from 0."""
    loops: bool = False
    """Whether it leads from the end of the score to its beginning."""


@dataclass(frozen=True, slots=True)
class Score:
    """Segments, when each of them starts, and what may follow it."""

    segments: tuple[Segment, ...]
    starts: tuple[float, ...]
    """By segment, the click on which it starts the first time."""
    length: float
    """Clicks until it begins again."""
    edges: tuple[tuple[Edge, ...], ...]
    """By segment: first what comes after it as written; empty where nothing does."""
    bars: tuple[int, ...]
    """The segments with which a bar begins."""
    left_out: str = ""
    """What is not played of what was asked for, in one sentence; empty if nothing."""

    def segment(self, turn: int) -> Segment:
        """What is to be played in that turn, if all is played as written, over and over."""
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


def over_and_over(segments: Sequence[Segment], starts: Sequence[float], length: float, left_out: str = "") -> Score:
    """The score of segments that are played in turn without end; each of them is a bar."""
    ends = [*starts[1:], starts[0] + length]
    gaps = [end - start for start, end in zip(starts, ends, strict=True)]
    last = len(segments) - 1
    edges = [(Edge(index + 1, gap),) if index < last else (Edge(0, gap, loops=True),) for index, gap in enumerate(gaps)]
    return Score(tuple(segments), tuple(starts), length, tuple(edges), tuple(range(len(segments))), left_out)
