"""Which events may be played next from where a player is, and what is left out on the way; worked out once for each."""

from collections.abc import Iterator
from itertools import islice
from operator import attrgetter
from typing import NamedTuple

from chanterd.following.tunes.cost import FARTHEST, FARTHEST_EVENTS, TOGETHER, TuneCosts
from chanterd.following.tunes.graph import Graph
from chanterd.music.note import Note
from chanterd.music.score import Edge, Way

NOTHING = len(Note)
"""No note at all, where tables are looked up by the sounding note."""
BEFORE_FIRST = -1
"""The place of a player who has not begun."""


class Step(NamedTuple):
    """One way from an event to a later one."""

    to: int
    price: float
    """Of what is left out on the way."""
    gap: float
    """Clicks from the one melody note to the other, as written."""
    way: Way
    repeat: int
    passed: tuple[int, ...]
    """The events left out, in order."""
    bare: float = 0.0
    """How much of its price is for ornaments that are wholly left out."""
    ornaments: int = 0
    """How many those are."""


Ways = tuple[list[list[Step]], tuple[Step, ...]]
"""By note, the ways on to where it is written; and the ways on along which any other note would be a wrong one."""
_PRICE = attrgetter("price")


class Reach:
    """A graph's ways on, by where a player is and what sounds."""

    def __init__(self, graph: Graph, costs: TuneCosts) -> None:
        self._graph = graph
        self._costs = costs
        self._notes = [event.note for event in graph.events]
        self._steps: dict[tuple[int, int], Ways] = {}
        self._runs: dict[tuple[Note, ...], list[tuple[int, ...]]] = {}
        sizes = [len(segment.drill.steps) - 1 for segment in graph.score.segments]
        self._closes = [sizes[one.segment] if one.step == sizes[one.segment] - 1 else 0 for one in graph.events]
        """By event, how many gracenotes its ornament has, if it is the last of them; else 0."""
        self._ahead = self._walk_all()
        self._find_runs()

    def prepare(self, most: int) -> None:
        """Walk that many ways ahead of their first use."""
        for _ in islice(self._ahead, most):
            pass

    def _walk_all(self) -> Iterator[None]:
        """Every way on from every event, and into every bar, whatever sounds."""
        for place in range(BEFORE_FIRST, len(self._notes)):
            for sounding in range(NOTHING + 1):
                yield None
                self.steps(place, sounding)
        for start in self._graph.bars:
            for sounding in range(NOTHING + 1):
                yield None
                self.into(start, sounding)

    def steps(self, place: int, sounding: int) -> Ways:
        """Where a player may be next.

        By note, the cheapest first; and for a wrong note the next event that could sound and, where that is a
        gracenote, the melody note of its ornament.
        """
        key = (place, sounding)
        if key not in self._steps:
            self._steps[key] = self._walk(self._edges(place), sounding)
        return self._steps[key]

    def into(self, start: int, sounding: int) -> list[list[Step]]:
        """By note, where a player may begin who leaps to that event: there, or a little behind it."""
        key = (-2 - start, sounding)
        if key not in self._steps:
            self._steps[key] = self._walk((Edge(start, 0.0),), sounding)
        return self._steps[key][0]

    def alike(self, run: tuple[Note, ...]) -> list[tuple[int, ...]]:
        """Where in the tune those notes sound one after the other."""
        return self._runs.get(run, [])

    def _edges(self, place: int) -> tuple[Edge, ...]:
        if place != BEFORE_FIRST:
            return self._graph.edges[place]
        return (Edge(0, 0.0),)

    def _walk(self, edges: tuple[Edge, ...], sounding: int) -> Ways:
        found: list[list[Step]] = [[] for _ in Note]
        plain: Step | None = None
        melody: Step | None = None
        events, ways_on = self._graph.events, self._graph.edges
        open_ways = [Step(edge.to, 0.0, edge.gap, edge.way, edge.repeat, ()) for edge in edges]
        seen: set[tuple[int, Way]] = set()
        for step in open_ways:  # which grows on the way
            to, cost, gap, way, repeat, passed, _, _ = step
            if (to, way) in seen:
                continue
            seen.add((to, way))
            event = events[to]
            if event.note != sounding:
                found[event.note].append(step)
                if plain is None or (cost < plain.price and len(passed) <= len(plain.passed)):
                    plain = step
                if melody is None and event.theme and passed and events[passed[0]].segment == event.segment:
                    melody = step
            price = cost + self._skip(step, sounding)
            if price > FARTHEST or len(passed) >= FARTHEST_EVENTS:
                continue
            bare, ornaments = self._left_out(step, price)
            for edge in ways_on[to]:
                if not edge.way:
                    more = Step(edge.to, price, gap + edge.gap, way, repeat, (*passed, to), bare, ornaments)
                elif way:
                    continue  # one repeat at a time
                else:
                    more = Step(edge.to, price, gap + edge.gap, edge.way, edge.repeat, (*passed, to), bare, ornaments)
                open_ways.append(more)
        for steps in found:
            if len(steps) > 1:
                steps.sort(key=_PRICE)
        return found, tuple({step.to: step for step in (plain, melody) if step is not None}.values())

    def _left_out(self, step: Step, price: float) -> tuple[float, int]:
        """What the whole ornaments cost that are left out once this event is too, and how many those are.

        ``price`` is that of all that is left out then.
        """
        size = self._closes[step.to]
        if not size or size - 1 > len(step.passed):
            return step.bare, step.ornaments
        if size > 1 and self._graph.events[step.passed[1 - size]].segment != self._graph.events[step.to].segment:
            return step.bare, step.ornaments
        whole = self._costs.missing + (size - 1) * self._costs.missing_more
        return min(step.bare + whole, price), step.ornaments + 1

    def _skip(self, step: Step, sounding: int) -> float:
        """The price of leaving out the event that a step leads to."""
        event, costs = self._graph.events[step.to], self._costs
        if event.note == sounding:
            return costs.melted
        if event.theme:
            return costs.no_note
        before = self._graph.events[step.passed[-1]] if step.passed else None
        return costs.missing_more if before is not None and before.segment == event.segment else costs.missing

    def _find_runs(self) -> None:
        """Every run of as many notes as show where a player is, by its notes."""
        sounding = [place for place, note in enumerate(self._notes) if not place or self._notes[place - 1] is not note]
        for index in range(len(sounding) - TOGETHER + 1):
            run = tuple(sounding[index : index + TOGETHER])
            self._runs.setdefault(tuple(self._notes[place] for place in run), []).append(run)
