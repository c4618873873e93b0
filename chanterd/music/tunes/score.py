"""A tune, or a passage of it, as it is followed: every note and gracenote in order, in clicks, with what may come next.

Conventions: an event is a gracenote or a melody note; events count from 0 in the order in which they are written.
Times are clicks from the beginning of the tune as written, repeats not unfolded; a click is a beat: a dotted quarter in
6/8, 9/8 and 12/8, else the lower number of the time signature.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.tunes.tune import Bar, Meter, Tune
from chanterd.music.tunes.turns import Way, turns_of
from chanterd.music.tunes.unfolding import as_played, notes_in

QUARTER = Fraction(1, 4)
"""A click in free time."""


class Event(NamedTuple):
    """One note to be played."""

    note: Note
    owner: int
    """The index of its melody note in the tune as written."""
    step: int
    """Which gracenote of its melody note it is, from 0; the melody note itself is behind the last."""
    theme: bool
    """Whether it is the melody note."""
    at: float
    """When its melody note is written."""


class Edge(NamedTuple):
    """What may be played after an event."""

    to: int
    gap: float
    """Clicks from the one melody note to the other, as written."""
    way: Way = Way.NEXT
    repeat: int = 0
    """The number of the repeat that it is about, from 0."""
    loops: bool = False
    """Whether it leads from the end of a passage to its beginning."""


@dataclass(frozen=True, slots=True)
class Score:
    """What is to be played; made by :func:`make_score`."""

    tune: Tune
    events: tuple[Event, ...]
    edges: tuple[tuple[Edge, ...], ...]
    """By event: first what comes after it as written."""
    starts: tuple[int, ...]
    """The first event of each bar that begins with a note."""
    first: int
    last: int
    """Its notes in the tune as written, both included."""
    length: float
    """Clicks from its beginning until it may begin again."""
    repeats: int
    loops: bool
    """Whether it is played over and over."""
    origin: float
    """When its first note is written."""
    pickup: float
    """Clicks from its first note to the first beat at or after it."""
    ats: tuple[Fraction, ...] = field(repr=False)
    """By note of the whole tune, in clicks."""

    def lasts(self, owner: int) -> float:
        """Clicks from the beginning of that melody note to its end, as written."""
        note = self.tune.notes[owner]
        return float(clicks(self.tune, note.start + note.lasts) - self.ats[owner])

    def on_beat(self, owner: int) -> bool:
        """Whether that melody note is written on a beat."""
        return is_on_beat(self.tune, owner)


def click_of(meter: Meter | None) -> Fraction:
    """How long a click is, as a fraction of a whole note."""
    return QUARTER if meter is None else meter.click


def clicks(tune: Tune, at: Fraction) -> Fraction:
    """A time in clicks, whatever the time signatures up to there."""
    return _Clock(tune.bars).at(at)


class _Clock:
    """Turns times as written into clicks."""

    def __init__(self, bars: Sequence[Bar]) -> None:
        self._bars = bars
        self._starts = [bar.start for bar in bars]
        self.bars = [Fraction(0)]
        for bar in bars:
            self.bars.append(self.bars[-1] + bar.lasts / click_of(bar.meter))

    def at(self, at: Fraction) -> Fraction:
        index = max(bisect_right(self._starts, at) - 1, 0)
        bar = self._bars[index]
        return self.bars[index] + (at - bar.start) / click_of(bar.meter)


def within_bar(tune: Tune, at: Fraction) -> tuple[Bar, Fraction]:
    """The bar at that time, and how far into the printed bar that is; a pick-up counts from the bar that it lacks."""
    index = max(bisect_right(tune.bars, at, key=lambda bar: bar.start) - 1, 0)
    bar = tune.bars[index]
    within = at - bar.start
    if bar.number == 0 and bar.meter is not None:
        return bar, within + bar.meter.bar - bar.lasts
    before = index - 1
    while before >= 0 and tune.bars[before].number == bar.number:
        within += tune.bars[before].lasts
        before -= 1
    full = None if bar.meter is None else bar.meter.bar
    if full is not None and before >= 0 and tune.bars[before].lasts < full and _is_pickup(tune, index):
        within += full - bar.lasts
    return bar, within


def _is_pickup(tune: Tune, index: int) -> bool:
    """Whether a short bar begins a part, so that it is the end of a bar and not its beginning."""
    bar = tune.bars[index]
    return bar.meter is not None and bar.lasts < bar.meter.bar and index > 0 and tune.bars[index - 1].ends_part


def is_on_beat(tune: Tune, owner: int) -> bool:
    """Whether a melody note is written on a beat."""
    bar, within = within_bar(tune, tune.notes[owner].start)
    return (within / click_of(bar.meter)).denominator == 1


def make_score(tune: Tune, first: int = 0, last: int | None = None, *, loops: bool = False) -> Score:
    """The score of a tune, or of a passage by its notes as written, both included.

    With ``loops`` it is played over and over, with a rest behind it that lets it begin on the same beat again.
    Raises ChanterdError if the tune has no such notes.
    """
    last = len(tune.notes) - 1 if last is None else last
    if not 0 <= first <= last < len(tune.notes):
        raise ChanterdError(
            f"The passage is from note {first} to note {last}; it must be within 0 and {len(tune.notes) - 1}, "
            "and not end before it begins."
        )
    clock = _Clock(tune.bars)
    ats = tuple(clock.at(note.start) for note in tune.notes)
    events: list[Event] = []
    begins: dict[int, int] = {}
    for owner in range(first, last + 1):
        note = tune.notes[owner]
        begins[owner] = len(events)
        notes = (*note.gracenotes, note.note)
        events += [Event(one, owner, step, step == len(notes) - 1, float(ats[owner])) for step, one in enumerate(notes)]
    turns = turns_of(tune, ats, clock.bars)
    edges: list[list[Edge]] = []
    for place, event in enumerate(events):
        there = [turn for turn in turns.get(event.owner, ()) if turn.to in begins] if event.theme else []
        edges.append([Edge(begins[turn.to], float(turn.gap), turn.way, turn.repeat) for turn in there])
        if not there and place + 1 < len(events):
            edges[-1].append(Edge(place + 1, events[place + 1].at - event.at))
    final = _final(tune, first, last)
    length = clock.at(tune.notes[last].start + tune.notes[last].lasts) - ats[first]
    if loops:
        length = Fraction(ceil(length))
        ends = ceil(clock.at(tune.notes[final].start + tune.notes[final].lasts) - ats[first])
        place = begins[final] + len(tune.notes[final].gracenotes)
        edges[place].append(Edge(0, float(ends + ats[first] - ats[final]), loops=True))
    starts = sorted({begins[owner] for owner in _bar_starts(tune) if owner in begins} | {0})
    _, within = within_bar(tune, tune.notes[first].start)
    click = click_of(within_bar(tune, tune.notes[first].start)[0].meter)
    return Score(
        tune=tune,
        events=tuple(events),
        edges=tuple(map(tuple, edges)),
        starts=tuple(starts),
        first=first,
        last=last,
        length=float(length),
        repeats=max((edge.repeat + 1 for ways in edges for edge in ways if edge.way), default=0),
        loops=loops,
        origin=float(ats[first]),
        pickup=float(-(within / click) % 1),
        ats=ats,
    )


def _final(tune: Tune, first: int, last: int) -> int:
    """The note that is played last; of a whole tune that may be in an ending that is not written last."""
    if first or last + 1 < len(tune.notes):
        return last
    notes = notes_in(tune)
    return next(notes[bar][-1] for bar in reversed(as_played(tune.bars)) if notes[bar])


def _bar_starts(tune: Tune) -> list[int]:
    """The first note of each bar."""
    found: list[int] = []
    starts = [note.start for note in tune.notes]
    for bar in tune.bars:
        index = bisect_right(starts, bar.start)
        if index and starts[index - 1] == bar.start:
            found.append(index - 1)
        elif index < len(starts) and starts[index] < bar.start + bar.lasts:
            found.append(index)
    return found
