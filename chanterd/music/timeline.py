"""A timeline: when the clicks of a score fall, and which click a time is. Times are in ns, clicks may be fractions.

By the click it is a :class:`~chanterd.music.grid.TempoGrid`; a player's own pulse is learned while they play
(``following``); and what a player has done of their own is afterwards a :class:`TempoMap`.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

from chanterd.music.units import Beats, Ns


class Timeline(Protocol):
    """Where clicks fall in time, and which click a time is."""

    def at(self, beats: Beats | float, /) -> Ns:
        """When a click falls, to the nearest nanosecond."""

    def beats(self, at_ns: Ns, /) -> Beats:
        """Which click a time is, as a fraction."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of steady tempo."""

    click: float
    """The click with which it begins, …"""
    at_ns: float
    """… and when that falls."""
    click_ns: float
    """From one click to the next."""

    def at(self, click: float) -> float:
        """When a click falls in that tempo."""
        return self.at_ns + (click - self.click) * self.click_ns

    def click_at(self, at_ns: float) -> float:
        """Which click a time is in that tempo."""
        return self.click + (at_ns - self.at_ns) / self.click_ns


@dataclass(frozen=True, slots=True)
class TempoMap:
    """Pieces of steady tempo, one after the other. Before the first and after the last its own tempo goes on."""

    pieces: tuple[Piece, ...]
    """At least one, each beginning later than the one before it, in clicks and in time."""

    def at(self, beats: Beats | float, /) -> Ns:
        """When a click falls."""
        after = bisect_right(self.pieces, beats, key=lambda piece: piece.click)
        return Ns(round(self.pieces[max(0, after - 1)].at(beats)))

    def beats(self, at_ns: Ns, /) -> Beats:
        """Which click a time is."""
        after = bisect_right(self.pieces, float(at_ns), key=lambda piece: piece.at_ns)
        return Beats(self.pieces[max(0, after - 1)].click_at(at_ns))


def tempo_map(points: Sequence[tuple[float, float]]) -> TempoMap | None:
    """The tempo from each point to the next: clicks and when they fell, both ascending; None: fewer than two points."""
    pieces = [Piece(click, at, (later - at) / (after - click)) for (click, at), (after, later) in pairwise(points)]
    return TempoMap(tuple(pieces)) if pieces else None
