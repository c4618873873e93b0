"""A tune as it is played: its sections, how often each is played, and with which ending each time.

By ABC 2.1 (4.8 and 4.9) and MusicXML 4.0 alike: a repeat goes back to the sign that opens it, or, where there is none,
to the last double bar line or closing sign; an ending is played the times through that are written above it. What a
writer left out is filled in as a piper would: endings without a closing sign are taken in turn, two endings of one
number in the order in which they are written, and a first ending alone is left out the second time. Bars count from 0.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from chanterd.music.tunes.tune import Bar, Tune

MOST_TIMES = 12
"""How often a section is played at most; a file that asks for more is a slip, or made to keep us busy."""


@dataclass(frozen=True, slots=True)
class Ending:
    """The bars of one ending."""

    bars: range
    times: tuple[int, ...]
    """The times through that it is for, from 1."""


@dataclass(frozen=True, slots=True)
class Section:
    """What is played together, once or several times."""

    body: range
    """Its bars before any ending."""
    endings: tuple[Ending, ...]
    """In the order in which they are written."""
    times: int
    """How often it is played."""

    def ending(self, time: int) -> Ending | None:
        """The one for that time through, from 1; None if none is written."""
        return next((one for one in self.endings if time in one.times), None)

    def bars(self, time: int) -> Iterator[int]:
        """What is played that time through."""
        ending = self.ending(time)
        yield from self.body
        yield from () if ending is None else ending.bars


def as_played(bars: Sequence[Bar]) -> list[int]:
    """The bars in the order in which they are played."""
    return [bar for one in sections_of(bars) for time in range(1, one.times + 1) for bar in one.bars(time)]


def notes_in(tune: Tune) -> list[list[int]]:
    """By bar, the notes that begin in it, by their indices in the tune."""
    found: list[list[int]] = [[] for _ in tune.bars]
    bar = 0
    for place, note in enumerate(tune.notes):
        while bar + 1 < len(tune.bars) and tune.bars[bar + 1].start <= note.start:
            bar += 1
        found[bar].append(place)
    return found


def sections_of(bars: Sequence[Bar]) -> list[Section]:
    """The sections that repeats and double bar lines make of a tune; together all its bars in order."""
    found: list[Section] = []
    begin, opened, closed = 0, False, False
    endings: list[int] = []
    for index, bar in enumerate(bars):
        opened, closed = opened or bar.opens_repeat, closed or bar.closes_repeat
        if bar.ending:
            endings.append(index)
        after = bars[index + 1] if index + 1 < len(bars) else None
        ends = bar.closes_repeat or (bar.ends_part and (closed or len(endings) > 1 or not opened))
        if after is None or after.opens_repeat or (ends and not after.ending):
            found.append(_section(bars, begin, endings, index + 1))
            begin, opened, closed, endings = index + 1, False, False, []
    return found


def _section(bars: Sequence[Bar], begin: int, starts: Sequence[int], end: int) -> Section:
    """That of the bars from ``begin`` to ``end``, the last not in it, whose endings begin at ``starts``."""
    written = [tuple(time for time in bars[start].ending if time <= MOST_TIMES) for start in starts]
    numbers = [time for times in written for time in times]
    signs = [bar.times for bar in bars[begin:end] if bar.closes_repeat]
    if len(set(numbers)) < len(numbers) or not all(written) or not (signs or 1 in numbers):
        written = [(number,) for number in range(1, len(written) + 1)]
    endings = tuple(
        Ending(range(start, stop), times)
        for start, stop, times in zip(starts, (*starts[1:], end), written, strict=False)
    )
    times = max((*signs, *(time for one in endings for time in one.times)), default=1)
    return Section(range(begin, starts[0] if starts else end), endings, min(times, MOST_TIMES))
