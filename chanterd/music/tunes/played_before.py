"""Which note is played before another: a repeat or an ending may make that another than the one written before it."""

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from chanterd.music.tunes.tune import Bar, Tune


def notes_before(tune: Tune, place: int) -> list[int]:
    """The indices of the notes that are played before that one, first the one of the first time through.

    Empty for the first note as written: it begins the tune.
    """
    if place == 0:
        return []
    index = bisect_right(tune.bars, tune.notes[place].start, key=lambda bar: bar.start) - 1
    bar = tune.bars[index]
    if tune.notes[place - 1].start >= bar.start:
        return [place - 1]
    if bar.ending and 1 not in bar.ending:
        fork = _first_ending(tune.bars, index)
        return [place - 1] if fork is None else _last_before(tune, fork.start)
    if bar.opens_repeat:
        closing = next((one for one in tune.bars[index:] if one.closes_repeat), None)
        return [place - 1] if closing is None else [place - 1, *_last_before(tune, closing.start + closing.lasts)]
    return [place - 1]


def _first_ending(bars: Sequence[Bar], index: int) -> Bar | None:
    """The bar that begins the endings which the one at that index is among; None if none is for the first time."""
    return next((bar for bar in reversed(bars[:index]) if 1 in bar.ending), None)


def _last_before(tune: Tune, at: Fraction) -> list[int]:
    """The index of the last note that begins before that time; empty if there is none."""
    return [index for index, note in enumerate(tune.notes) if note.start < at][-1:]
