"""A score as a graph of single notes: every gracenote and melody note in order, with what may come next.

Conventions: an event is a gracenote or a melody note; events count from 0 in the order in which they are written. Times
are clicks from the first melody note, as written.
"""

from typing import NamedTuple

from chanterd.music.note import Note
from chanterd.music.score import Edge, Score
from chanterd.music.units import Ns


class Event(NamedTuple):
    """One note to be played."""

    note: Note
    segment: int
    """The segment that it belongs to."""
    step: int
    """Which step of it; the melody note is the last."""
    theme: bool
    """Whether it is the melody note."""
    at: float
    """When its melody note is written."""
    from_beat_ns: Ns
    """How much later than that it is expected: gracenotes take time from the notes on either side."""


class Graph:
    """The events of a score; edges lead from event to event."""

    __slots__ = ("bars", "edges", "events", "score")

    def __init__(self, score: Score) -> None:
        self.score = score
        events: list[Event] = []
        begins: list[int] = []
        for index, (segment, start) in enumerate(zip(score.segments, score.starts, strict=True)):
            begins.append(len(events))
            last, at = len(segment.drill.steps) - 1, start - score.starts[0]
            events += [
                Event(asked.note, index, step, step == last, at, off_ns)
                for step, (asked, off_ns) in enumerate(zip(segment.drill.steps, segment.from_beat_ns, strict=True))
            ]
        edges = [
            tuple(edge._replace(to=begins[edge.to]) for edge in score.edges[event.segment])
            if event.theme
            else (Edge(place + 1, 0.0),)
            for place, event in enumerate(events)
        ]
        self.events = tuple(events)
        """All of them."""
        self.edges = tuple(edges)
        """By event: first what comes after it as written."""
        self.bars = tuple(begins[index] for index in score.bars)
        """The first event of each bar that begins with a note."""
