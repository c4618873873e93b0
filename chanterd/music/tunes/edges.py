"""What may be played after the last note of each bar: what is written next, the way back, the way past an ending."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from chanterd.music.score import Edge, Way
from chanterd.music.tunes.tune import Tune
from chanterd.music.tunes.unfolding import Section, notes_in, sections_of


@dataclass(frozen=True, slots=True)
class _Visit:
    """One coming-by of a bar that has notes."""

    section: Section
    repeat: int
    """How many sections before it are played more than once."""
    time: int
    bar: int
    at: Fraction
    """When it is played, in clicks, repeats unfolded."""


def edges_of(tune: Tune, ats: Sequence[Fraction], bars: Sequence[Fraction]) -> dict[int, list[Edge]]:
    """By the last note of each bar, the way to every note that may follow it in time, the one written next first.

    Edges lead to notes by their index in the tune as written.
    ``ats``: when each note is written, in clicks; ``bars``: the same of the beginning of each bar and the tune's end.
    """
    notes = notes_in(tune)
    found: dict[int, dict[int, Edge]] = {}
    leaving: set[tuple[int, int]] = set()
    for before, after in pairwise(_visits(tune, notes, bars)):
        source, target = notes[before.bar][-1], notes[after.bar][0]
        gap = after.at + ats[target] - bars[after.bar] - before.at - ats[source] + bars[before.bar]
        way = _way(before, after)
        found.setdefault(source, {}).setdefault(target, Edge(target, float(gap), way, before.repeat))
        if before.section is not after.section:
            leaving.add((source, target))
    return {
        source: sorted(
            (
                edge._replace(way=Way.ON) if len(edges) > 1 and (source, to) in leaving else edge
                for to, edge in edges.items()
            ),
            key=lambda edge: (edge.to != source + 1, edge.way is Way.AGAIN),
        )
        for source, edges in found.items()
    }


def _visits(tune: Tune, notes: Sequence[Sequence[int]], bars: Sequence[Fraction]) -> Iterator[_Visit]:
    """Every coming-by of a bar that has notes, in the order in which they are played."""
    at, repeat = Fraction(0), 0
    for section in sections_of(tune.bars):
        for time in range(1, section.times + 1):
            for bar in section.bars(time):
                if notes[bar]:
                    yield _Visit(section, repeat, time, bar, at)
                at += bars[bar + 1] - bars[bar]
        repeat += section.times > 1


def _way(before: _Visit, after: _Visit) -> Way:
    """What it is to go from one bar to the other, within a section."""
    section = before.section
    if section is not after.section:
        return Way.NEXT
    if after.time > before.time:
        return Way.AGAIN
    if before.bar in section.body and after.bar not in section.body:
        return Way.FIRST if after.bar in section.endings[0].bars else Way.ON
    return Way.NEXT
