"""A tune, or a passage of it, with what may come after each note; no tempo is known yet (see ``segments``).

Conventions: its notes count from 0, the first of the passage. Times are clicks from the beginning of the tune as
written, repeats not unfolded; a click is a beat: a dotted quarter in 6/8, 9/8 and 12/8, else the lower number of the
time signature.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from chanterd.config import ChanterdError
from chanterd.music.score import Edge
from chanterd.music.tunes.edges import edges_of
from chanterd.music.tunes.tune import Bar, Meter, Tune, TuneNote
from chanterd.music.tunes.unfolding import as_played, notes_in

QUARTER = Fraction(1, 4)
"""A click in free time."""


@dataclass(frozen=True, slots=True)
class Passage:
    """What is to be played; made by :func:`make_passage`."""

    tune: Tune
    first: int
    last: int
    """Its notes in the tune as written, both included."""
    edges: tuple[tuple[Edge, ...], ...]
    """By note: first what comes after it as written."""
    bars: tuple[int, ...]
    """The notes with which a bar begins."""
    length: float
    """Clicks from its beginning until it may begin again."""
    loops: bool
    """Whether it is played over and over."""
    ats: tuple[Fraction, ...] = field(repr=False)
    """By note of the whole tune, in clicks."""
    ends: tuple[Fraction, ...] = field(repr=False)
    """The same of its end."""

    @property
    def notes(self) -> tuple[TuneNote, ...]:
        """Its notes with their gracenotes."""
        return self.tune.notes[self.first : self.last + 1]

    @property
    def pickup(self) -> float:
        """Clicks from its first note to the first beat at or after it."""
        return -phase_of(self.tune, self.first) % 1

    def lasts(self, note: int) -> float:
        """Clicks from the beginning of one of its notes to the end of it, as written."""
        return float(self.ends[self.first + note] - self.ats[self.first + note])


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


def phase_of(tune: Tune, note: int) -> float:
    """How far behind a beat a melody note of the whole tune is written, in clicks; 0 is on it."""
    bar, within = within_bar(tune, tune.notes[note].start)
    return float((within / click_of(bar.meter)) % 1)


def make_passage(tune: Tune, first: int = 0, last: int | None = None, *, loops: bool = False) -> Passage:
    """A tune, or a passage of it by its notes as written, both included.

    With ``loops`` it is played over and over, with a rest after it, so that it begins on the same beat again.
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
    ends = tuple(clock.at(note.start + note.lasts) for note in tune.notes)
    mine = range(first, last + 1)
    ways = edges_of(tune, ats, clock.bars)
    edges: list[list[Edge]] = []
    for note in mine:
        edges.append([way._replace(to=way.to - first) for way in ways.get(note, ()) if way.to in mine])
        if not edges[-1] and note < last:
            edges[-1].append(Edge(note + 1 - first, float(ats[note + 1]) - float(ats[note])))
    length = ends[last] - ats[first]
    if loops:
        length = Fraction(ceil(length))
        final = _final(tune, first, last)
        again = ceil(ends[final] - ats[first])
        edges[final - first].append(Edge(0, float(again + ats[first] - ats[final]), loops=True))
    bars = sorted({note - first for note in _bar_starts(tune) if note in mine} | {0})
    return Passage(tune, first, last, tuple(map(tuple, edges)), tuple(bars), float(length), loops, ats, ends)


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
