"""Excerpts of a tune, from an ornament with its neighbours to the whole: what is taken out of it, and put back.

Notes are indices in the tune as written, first and last included. Each width holds the one before.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from chanterd.config import ChanterdError
from chanterd.music.tunes.passage import click_of, within_bar
from chanterd.music.tunes.tune import Tune


class Width(StrEnum):
    """How much of a tune is played."""

    ORNAMENT = "ornament"
    """With the note before it and the note after."""
    PASSAGE = "passage"
    """What was asked for, note by note."""
    BEAT = "beat"
    BAR = "bar"
    TWO_BARS = "two bars"
    PART = "part"
    TUNE = "tune"


@dataclass(frozen=True, slots=True)
class Excerpt:
    """Some notes of a tune in a row."""

    width: Width
    first: int
    last: int
    words: str
    """What a player calls it: ``bar 3``, ``bars 3 and 4``, ``part 2``."""
    of: int | None = None
    """The note of the ornament that was taken out, if it is about one."""


def around(tune: Tune, note: int) -> Excerpt:
    """The ornament on a note, from the note before it to the note after. Raises ChanterdError if there is none."""
    if not 0 <= note < len(tune.notes):
        raise ChanterdError(f"The ornament is on note {note}; it must be one from 0 to {len(tune.notes) - 1}.")
    if not tune.notes[note].gracenotes:
        raise ChanterdError(
            f"Note {note}, the {tune.notes[note].note.words} in bar {tune.notes[note].bar}, has no gracenotes; "
            "choose a note with an ornament."
        )
    first, last = max(note - 1, 0), min(note + 1, len(tune.notes) - 1)
    return Excerpt(Width.ORNAMENT, first, last, f"the ornament in bar {tune.notes[note].bar} by itself", note)


def chosen(tune: Tune, first: int, last: int) -> Excerpt:
    """The notes that somebody chose, by the name that they have as a bar, a part or the tune if they have one."""
    if first == 0 and last == len(tune.notes) - 1:
        return Excerpt(Width.TUNE, first, last, _TUNE)
    named = widths(tune, Excerpt(Width.PASSAGE, first, last, ""))[1]
    if (named.first, named.last) == (first, last):
        return named
    bars = tune.notes[first].bar, tune.notes[last].bar
    where = f"in bar {bars[0]}" if bars[0] == bars[1] else f"in bars {bars[0]} to {bars[1]}"
    return Excerpt(Width.PASSAGE, first, last, f"the notes {where}")


_TUNE = "the whole tune"


def widths(tune: Tune, narrowest: Excerpt) -> list[Excerpt]:
    """That passage and every wider one, up to the tune; one that adds no note is left out, but for its name."""
    found = [narrowest]
    for one in _wider(tune, narrowest):
        before = found[-1]
        passage = Excerpt(one.width, min(one.first, before.first), max(one.last, before.last), one.words, narrowest.of)
        if passage.last - passage.first > before.last - before.first or (
            before.width is Width.PASSAGE and not before.words
        ):
            found.append(passage)
    return found


def _wider(tune: Tune, narrowest: Excerpt) -> Iterator[Excerpt]:
    """The beats, the bars, the part and the tune that a passage is in, without what only leads to and from it."""
    notes = tune.notes
    core = range(narrowest.first, narrowest.last + 1)
    if narrowest.of is not None:  # the notes on either side may be in other bars
        core = range(narrowest.of, narrowest.of + 1)
    parts = parts_of(tune)
    number, (begins, ends) = next((index, part) for index, part in enumerate(parts) if part[0] <= core[0] <= part[1])
    ends = max(ends, next(part[1] for part in parts if part[0] <= core[-1] <= part[1]))
    first_bar, last_bar = notes[core[0]].bar, notes[core[-1]].bar

    def span(width: Width, words: str, holds: Callable[[int], bool]) -> Excerpt:
        held = [index for index in range(begins, ends + 1) if index in core or holds(index)]
        return Excerpt(width, held[0], held[-1], words)

    beats = {_beat(tune, index) for index in core}
    if len(beats) == 1:
        yield span(Width.BEAT, f"its beat in bar {first_bar}", lambda index: _beat(tune, index) in beats)
    bars = f"bar {first_bar}" if first_bar == last_bar else f"bars {first_bar} to {last_bar}"
    yield span(Width.BAR, bars, lambda index: first_bar <= notes[index].bar <= last_bar)
    if first_bar == last_bar:
        next_bar = any(notes[index].bar == last_bar + 1 for index in range(begins, ends + 1))
        low, high = (first_bar, first_bar + 1) if next_bar else (first_bar - 1, first_bar)
        yield span(Width.TWO_BARS, f"bars {low} and {high}", lambda index: low <= notes[index].bar <= high)
    if len(parts) > 1 and ends == parts[number][1]:
        yield Excerpt(Width.PART, begins, ends, f"part {number + 1}")
    yield Excerpt(Width.TUNE, 0, len(notes) - 1, _TUNE)


def _beat(tune: Tune, index: int) -> tuple[int, int]:
    """The bar of a note, by its number, and its beat in it."""
    bar, within = within_bar(tune, tune.notes[index].start)
    return bar.number, int(within / click_of(bar.meter))


def parts_of(tune: Tune) -> list[tuple[int, int]]:
    """The first and the last note of each part: what is between two double or repeat bar lines, with its endings."""
    after = [*tune.bars[1:], None]
    ends = [
        bar.start + bar.lasts
        for bar, then in zip(tune.bars, after, strict=True)
        if bar.ends_part and not (then is not None and then.ending)
    ]
    parts: list[tuple[int, int]] = []
    first = 0
    for index, note in enumerate(tune.notes):
        last = index + 1 == len(tune.notes)
        if last or any(note.start < end <= tune.notes[index + 1].start for end in ends):
            parts.append((first, index))
            first = index + 1
    return parts
