"""Passages of a take: a drill at a tempo, a tune, free playing, silence.

Pure; times in ns. The figures are our own choice.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from chanterd.listening.drills import Reps, beat_of, drills_in
from chanterd.listening.found import Found
from chanterd.music.units import NS_PER_MS, NS_PER_S, Ns

SILENCE_NS = 2 * NS_PER_S
"""A shorter rest is part of what is played."""
SHORTEST_FREE_NS = 300 * NS_PER_MS
WITH_LEAD = 0.75
"""A rep lasts from no more than this share of the distance between two before its beat to as long after it."""
LEFT_OVER = 1.4
"""What sounds at the edge of a drill for no more reps than this, with none recognised in it, belongs to it."""

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
    steady: bool = False
    """A drill whose beat is certain."""
    tune: str | None = None
    first: int | None = None
    """The note of the tune that it begins with, from 0."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where something sounded without a long rest."""

    start_ns: Ns
    end_ns: Ns


def passages_of(found: Sequence[Found], stretches: Sequence[Stretch], tunes: Sequence[Passage] = ()) -> list[Passage]:
    """The passages of what was played, in order of time; ``stretches`` are where something sounded.

    ``tunes`` are the passages in which one was found. Where both would do, the longer of a drill and a tune counts.
    """
    passages: list[Passage] = []
    at = Ns(0)
    for one in _apart([*(_passage(reps, stretches) for reps in drills_in(found)), *tunes]):
        passages += _between(at, one.start_ns, stretches)
        passages.append(one)
        at = max(at, one.end_ns)
    return passages + _between(at, stretches[-1].end_ns if stretches else at, stretches)


def _between(start: Ns, end: Ns, stretches: Sequence[Stretch]) -> list[Passage]:
    """Free playing and silence where neither a drill nor a tune was found."""
    sounding = [(max(start, one.start_ns), min(end, one.end_ns)) for one in stretches]
    passages: list[Passage] = []
    at = start
    for first, last in [(first, last) for first, last in sounding if first < last]:
        rest = first - at >= SILENCE_NS
        if rest:
            passages.append(Passage(at, first, "silence"))
        if rest or not passages:
            passages.append(Passage(first, last, "free"))
        else:
            passages[-1] = replace(passages[-1], end_ns=last)
        at = last
    if end - at >= SILENCE_NS:
        passages.append(Passage(at, end, "silence"))
    return [one for one in passages if one.kind == "silence" or one.end_ns - one.start_ns >= SHORTEST_FREE_NS]


def _apart(passages: Sequence[Passage]) -> list[Passage]:
    """In order of time, without those that lie within a longer one by more than half."""
    kept: list[Passage] = []
    for one in sorted(passages, key=lambda one: one.start_ns - one.end_ns):
        shared = sum(max(0, min(one.end_ns, other.end_ns) - max(one.start_ns, other.start_ns)) for other in kept)
        if 2 * shared <= one.end_ns - one.start_ns:
            kept.append(one)
    return sorted(kept, key=lambda one: one.start_ns)


def _passage(reps: Reps, stretches: Sequence[Stretch]) -> Passage:
    """From the first note before to the end of the last theme note.

    What sounds for less than a rep before or after it, or little more, is one that was not recognised.
    """
    first, last = reps.found[0], reps.found[-1]
    period = reps.period_ns
    began = first.sounds[0].onset_ns if first.lead is None else first.lead.onset_ns
    start = max(began, beat_of(first) - round(WITH_LEAD * period))
    theme = last.sounds[-1]
    over = beat_of(last) + round(WITH_LEAD * period)
    end = over if theme.length_ns is None else min(over, theme.onset_ns + theme.length_ns)
    for stretch in stretches:
        if stretch.start_ns <= start <= stretch.end_ns and start - stretch.start_ns <= LEFT_OVER * period:
            start = stretch.start_ns
        if stretch.start_ns <= end <= stretch.end_ns and stretch.end_ns - end <= LEFT_OVER * period:
            end = stretch.end_ns
    return Passage(Ns(start), Ns(end), "drill", reps.words, reps.click_bpm, Ns(beat_of(first)), reps.steady)
