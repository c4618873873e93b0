"""Passages of a take: a drill at a tempo, a tune, free playing, silence.

A drill is the same ornament between the same two notes, four times and more at steady distances, with nothing but its
own two notes between. One that was read otherwise, or left out, ends no drill. Pure; times in ns.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal

from chanterd.listening.found import Found
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, NS_PER_S, Ns

FEWEST_REPS = 4
SILENCE_NS = 2 * NS_PER_S
"""A shorter rest is part of what is played: our own choice."""
STEADY = 0.22
"""Distances are steady if each differs by no more than that share from the median of those before."""
MOST_LEFT_OUT = 2
"""More reps in a row that are lacking, or read otherwise, end a drill."""
BESIDE_NS = 150 * NS_PER_MS
"""What sounds between two reps besides their own notes is no longer than a few noises."""
SHORTEST_FREE_NS = 300 * NS_PER_MS
CLICKS = 2
"""Of a rep, in the layout 'two clicks'."""

Kind = Literal["drill", "tune", "free", "silence"]


@dataclass(frozen=True, slots=True)
class Passage:
    """A stretch of a take."""

    start_ns: Ns
    end_ns: Ns
    kind: Kind
    drill: str | None = None
    click_bpm: float | None = None
    beat_ns: Ns | None = None
    """When the beat of its first rep was heard; None unless it is a drill."""
    tune: str | None = None
    first: int | None = None
    """The note of the tune that it begins with, from 0."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where something sounded without a long rest."""

    start_ns: Ns
    end_ns: Ns


@dataclass(slots=True)
class Reps:
    """The same drill over and over, so far."""

    words: str
    found: list[Found]
    places: list[int]
    """Which rep each was, from 0."""

    @property
    def period_ns(self) -> float:
        """The distance from rep to rep, by the straight line through all of them."""
        at, places = [beat_of(one) for one in self.found], self.places
        middle, mean = sum(places) / len(places), sum(at) / len(at)
        return sum((place - middle) * (one - mean) for place, one in zip(places, at, strict=True)) / sum(
            (place - middle) ** 2 for place in places
        )

    @property
    def click_bpm(self) -> float:
        """The tempo in the layout 'two clicks'."""
        return CLICKS * NS_PER_MINUTE / self.period_ns

    def takes(self, found: Found) -> bool:
        """Add the next one, if it is the same at a steady distance."""
        distance = beat_of(found) - beat_of(self.found[-1])
        if len(self.found) == 1:
            if not _follows(self.found[-1], found):
                return False
            self.places.append(1)
            self.found.append(found)
            return True
        period = self._usual_ns()
        reps = max(1, round(distance / period))
        if reps > MOST_LEFT_OUT + 1 or abs(distance - reps * period) > STEADY * period:
            return False
        if reps == 1 and not _follows(self.found[-1], found):
            return False
        self.places.append(self.places[-1] + reps)
        self.found.append(found)
        return True

    def _usual_ns(self) -> float:
        at = [beat_of(one) for one in self.found]
        steps = zip(at, at[1:], self.places, self.places[1:], strict=False)
        return median((later - one) / (after - place) for one, later, place, after in steps)


def beat_of(found: Found) -> int:
    """When the beat of an ornament of the book was heard."""
    match = found.choices[0].match
    way = match.variant.way
    anchor = way.drill.anchor_step
    place = max((index for index, step in enumerate(way.steps) if step <= anchor), default=0)
    if place in match.places:
        return found.sounds[match.places.index(place)].onset_ns
    return found.sounds[-1].onset_ns


def passages_of(found: Sequence[Found], stretches: Sequence[Stretch], tunes: Sequence[Passage] = ()) -> list[Passage]:
    """The passages of what was played, in order of time; ``stretches`` are where something sounded.

    ``tunes`` are the passages in which one was found. Where both would do, the longer of a drill and a tune counts.
    """
    passages: list[Passage] = []
    before = Ns(0)
    for stretch in stretches:
        if stretch.start_ns - before >= SILENCE_NS:
            passages.append(Passage(before, stretch.start_ns, "silence"))
        inside = [one for one in found if stretch.start_ns <= one.sounds[-1].onset_ns <= stretch.end_ns]
        named = [_passage(reps, stretch) for reps in drills_in(inside)]
        named += [one for one in tunes if stretch.start_ns <= one.start_ns <= stretch.end_ns]
        at = stretch.start_ns
        for one in _apart(named):
            if one.start_ns - at >= SHORTEST_FREE_NS:
                passages.append(Passage(at, one.start_ns, "free"))
            passages.append(one)
            at = max(at, one.end_ns)
        if stretch.end_ns - at >= SHORTEST_FREE_NS:
            passages.append(Passage(at, stretch.end_ns, "free"))
        before = stretch.end_ns
    return passages


def _apart(passages: Sequence[Passage]) -> list[Passage]:
    """In order of time, without those that lie within a longer one by more than half."""
    kept: list[Passage] = []
    for one in sorted(passages, key=lambda one: one.start_ns - one.end_ns):
        shared = sum(max(0, min(one.end_ns, other.end_ns) - max(one.start_ns, other.start_ns)) for other in kept)
        if 2 * shared <= one.end_ns - one.start_ns:
            kept.append(one)
    return sorted(kept, key=lambda one: one.start_ns)


def drills_in(found: Sequence[Found], fewest: int = FEWEST_REPS) -> list[Reps]:
    """The drills among ornaments in order of time, of so many reps and more."""
    drills: list[Reps] = []
    at = 0
    while at < len(found):
        reps, after = _reps_from(found, at)
        if len(reps.found) >= fewest:
            drills.append(reps)
            at = after
        else:
            at += 1
    return drills


def _reps_from(found: Sequence[Found], start: int) -> tuple[Reps, int]:
    """The reps that begin with an ornament, and the place of the first one behind them."""
    words = found[start].words
    reps, after = Reps(words or "", [found[start]], [0]), start + 1
    if words is None:
        return reps, after
    for place in range(start + 1, len(found)):
        if found[place].words == words:
            if not reps.takes(found[place]):
                break
            after = place + 1
        elif place - after >= MOST_LEFT_OUT or len(reps.found) < 2:  # noqa: PLR2004 - two show how far apart they are
            break
    return reps, after


def _follows(before: Found, found: Found) -> bool:
    """Whether nothing but the two notes of the drill sounded between two reps."""
    theme, lead = before.sounds[-1], found.lead
    if lead is None or lead.onset_ns == theme.onset_ns:
        return lead is not None
    return theme.length_ns is not None and lead.onset_ns - theme.onset_ns - theme.length_ns <= BESIDE_NS


def _passage(reps: Reps, stretch: Stretch) -> Passage:
    first, last = reps.found[0], reps.found[-1]
    period = reps.period_ns
    began = first.sounds[0].onset_ns if first.lead is None else first.lead.onset_ns
    start = max(began, beat_of(first) - round(0.75 * period), stretch.start_ns)
    theme = last.sounds[-1]
    over = stretch.end_ns if theme.length_ns is None else theme.onset_ns + theme.length_ns
    end = min(over, beat_of(last) + round(0.75 * period), stretch.end_ns)
    return Passage(Ns(start), Ns(end), "drill", reps.words, reps.click_bpm, Ns(beat_of(first)))
