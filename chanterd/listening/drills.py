"""Drills in what was played: the same ornament between the same two notes, over and over at steady distances.

One that was read otherwise, left out, begun again or played twice ends no drill; only those in time say how fast it is.
Pure; times in ns. The figures are our own choice, tried on simulated recordings (``tests/bench/bench_listen.py``).
"""

from bisect import insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

from chanterd.listening.found import Found
from chanterd.music.grid import FASTEST_BPM, SLOWEST_BPM
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS

FEWEST_REPS = 4
STEADY = 0.22
"""A rep is in time if it is off by no more than that share of the distance between two."""
SURE = 0.08
"""A beat is certain if half of the distances differ by no more than that share from what they are on the whole."""
MOST_ASTRAY = 24
"""After more of the same in a row that are out of time, or with something else before each, the drill was over."""
MOST_LEFT_OUT = 2
"""More reps in a row that are lacking end a drill."""
BESIDE_NS = 150 * NS_PER_MS
"""What sounds between two reps besides their own notes is no longer than a few noises."""
LEAST_ALONE = 0.6
"""The share of reps after which the next one follows, with nothing but their own notes between: fewer are a melody."""
LOOK_AHEAD = 5
"""Distances by which it is known how far apart reps are before there are any."""
CLICKS = 2
"""Of a rep, in the layout 'two clicks'."""


@dataclass(slots=True)
class Reps:
    """The same drill over and over, so far."""

    words: str
    period: float
    """The distance from rep to rep in ns, as it was at the start."""
    found: list[Found]
    """Those in time."""
    beats: list[int]
    """When the beat of each of them was heard."""
    places: list[int] = field(default_factory=lambda: [0])
    """Which rep each of them was, from 0."""
    last: int = 0
    """How many after the first of them the last one was, in time or not."""
    _each: list[float] = field(default_factory=list)
    """How far apart two reps in a row were, the shortest first."""

    @property
    def period_ns(self) -> float:
        """The distance from rep to rep, by the straight line through all of them."""
        at, places = self.beats, self.places
        middle, mean = sum(places) / len(places), sum(at) / len(at)
        return sum((place - middle) * (one - mean) for place, one in zip(places, at, strict=True)) / sum(
            (place - middle) ** 2 for place in places
        )

    @property
    def click_bpm(self) -> float:
        """The tempo in the layout 'two clicks'."""
        return CLICKS * NS_PER_MINUTE / self.period_ns

    @property
    def alone(self) -> bool:
        """Whether nothing else was played between its reps, by and large."""
        follows = [
            _follows(before, after)
            for (before, after), (place, later) in zip(pairwise(self.found), pairwise(self.places), strict=True)
            if later == place + 1
        ]
        return bool(follows) and sum(follows) >= LEAST_ALONE * len(follows)

    @property
    def steady(self) -> bool:
        """Whether its beat is certain: the distances between reps hardly differ."""
        period = self.period_ns
        return median(abs(distance - reps * period) for distance, reps in self._distances()) <= SURE * period

    def takes(self, found: Found, beat: int) -> bool:
        """Add one that is in time."""
        reps = self._reps_since(self.beats[-1], beat)
        if reps is None:
            return False
        self._add(found, beat, reps)
        if len(self.found) > 2:  # noqa: PLR2004 - one distance may be off
            self.period = _middle(self._each)
        return True

    def takes_both(self, odd: Found, odd_beat: int, found: Found, beat: int) -> bool:
        """Add two that are in time with each other: from the first of them on the player's beat is another one."""
        reps = self._reps_since(odd_beat, beat)
        if reps is None:
            return False
        self._add(odd, odd_beat, max(1, round((odd_beat - self.beats[-1]) / self.period)))
        self._add(found, beat, reps)
        return True

    def without_last(self, count: int) -> None:
        """Take those away again that were added last."""
        if count:
            del self.found[-count:], self.beats[-count:], self.places[-count:]

    @property
    def follows(self) -> bool:
        """Whether the last one is the very next rep after the one before, with nothing else between."""
        return len(self.found) > 1 and self.places[-1] == self.places[-2] + 1 and _follows(*self.found[-2:])

    def _add(self, found: Found, beat: int, more: int) -> None:
        insort(self._each, (beat - self.beats[-1]) / more)
        self.found.append(found)
        self.beats.append(beat)
        self.places.append(self.places[-1] + more)

    def _distances(self) -> Iterator[tuple[int, int]]:
        """From each of those in time to the next: ns, and how many reps that is."""
        for (one, later), (place, after) in zip(pairwise(self.beats), pairwise(self.places), strict=True):
            yield later - one, after - place

    def _reps_since(self, before: int, beat: int) -> int | None:
        """How many reps later it is; None if it is not in time."""
        distance = beat - before
        reps = max(1, round(distance / self.period))
        return reps if abs(distance - reps * self.period) <= STEADY * self.period else None


def _middle(ordered: Sequence[float]) -> float:
    """The median of figures that are in order."""
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def beat_of(found: Found) -> int:
    """When the beat of an ornament of the book was heard."""
    match = found.choices[0].match
    way = match.variant.way
    anchor = way.drill.anchor_step
    place = max((index for index, step in enumerate(way.steps) if step <= anchor), default=0)
    if place in match.places:
        return found.sounds[match.places.index(place)].onset_ns
    return found.sounds[-1].onset_ns


def drills_in(found: Sequence[Found], fewest: int = FEWEST_REPS) -> list[Reps]:
    """The drills among ornaments in order of time, with at least ``fewest`` reps in time, by when they begin."""
    by_words: dict[str, list[Found]] = {}
    for one in found:
        if one.words is not None:
            by_words.setdefault(one.words, []).append(one)
    drills = [reps for words, same in by_words.items() for reps in _drills_of(words, same, fewest)]
    return sorted(drills, key=lambda reps: beat_of(reps.found[0]))


def _drills_of(words: str, same: Sequence[Found], fewest: int) -> list[Reps]:
    drills: list[Reps] = []
    beats, at = [beat_of(one) for one in same], 0
    while len(same) - at >= fewest:
        reps = _reps_from(words, same, beats, at)
        if len(reps.found) >= fewest and reps.alone and _playable(reps.click_bpm):
            drills.append(reps)
            at += reps.last + 1
        else:
            at += 1
    return drills


def _playable(click_bpm: float) -> bool:
    return SLOWEST_BPM <= click_bpm <= FASTEST_BPM


def _reps_from(words: str, same: Sequence[Found], beats: Sequence[int], first: int) -> Reps:
    """The reps that begin with that one of these."""
    distances = sorted(later - one for one, later in pairwise(beats[first : first + LOOK_AHEAD + 1]))
    period = distances[(len(distances) - 1) // 3]  # many are longer, where a rep was left out
    reps = Reps(words, period, [same[first]], [beats[first]])
    odd: int | None = None
    good = good_last = 0
    for place in range(first + 1, len(same)):
        one, beat = same[place], beats[place]
        if beat - beats[place - 1] > (MOST_LEFT_OUT + 1 + STEADY) * reps.period:
            break
        reps.last = place - first
        if reps.takes(one, beat) or (odd is not None and reps.takes_both(same[odd], beats[odd], one, beat)):
            odd = None
        else:
            odd = place
        if len(reps.found) > MOST_ASTRAY and not _playable(CLICKS * NS_PER_MINUTE / reps.period):
            break  # a shake, and no drill however long it is
        if odd is None and reps.follows:
            good, good_last = len(reps.found), reps.last
        elif reps.last - good_last > MOST_ASTRAY:
            reps.without_last(len(reps.found) - max(good, 1))
            reps.last = good_last
            break
    return reps


def _follows(before: Found, found: Found) -> bool:
    """Whether nothing but the two notes of the drill sounded between two reps."""
    theme, lead = before.sounds[-1], found.lead
    if lead is None or lead.onset_ns == theme.onset_ns:
        return lead is not None
    return theme.length_ns is not None and lead.onset_ns - theme.onset_ns - theme.length_ns <= BESIDE_NS
