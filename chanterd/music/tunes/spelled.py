"""The gracenotes of a tune as a drill: what is played from the note before, step by step, as they are written.

Where the book knows the way in and spells it so, it is the book's own drill. Otherwise the steps are the gracenotes as
written: with the kinds of the book's ornament where it sounds alike, and as quick ones where the book has none. A note
without gracenotes is a drill of its theme note alone.
"""

from collections.abc import Sequence

from chanterd.music.build import Step
from chanterd.music.drill import Drill, make_drill
from chanterd.music.note import Note
from chanterd.music.ornament import Book, Kind, Ornament
from chanterd.music.sounding import melted
from chanterd.music.tunes.naming import sounds_of

ONE, SEVERAL = "gracenote", "group of gracenotes"
"""What gracenotes are called that are no ornament of the book."""
NONE = "note"
"""What a note without gracenotes is called."""


def spelled_drill(book: Book, lead: Note | None, gracenotes: Sequence[Note], theme: Note) -> Drill:
    """What those gracenotes ask for from that note; ``lead`` is None where nothing is played before."""
    if not gracenotes:
        return _written(_unnamed(NONE), lead if lead is not None else _other(theme), (), theme, None)
    sounds = sounds_of(book)
    way = None if lead is None else sounds.find(lead, gracenotes, theme)
    if way is not None and lead is not None:
        drill = make_drill(way.ornament, lead, theme)
        if tuple(step.note for step in drill.steps[:-1]) == tuple(gracenotes):
            return drill
        return _written(drill.ornament, lead, gracenotes, theme, drill)
    ornament = sounds.spelled(gracenotes, theme) or _unnamed(ONE if len(gracenotes) == 1 else SEVERAL)
    before = lead if lead is not None else _other(gracenotes[0])
    return _written(ornament, before, gracenotes, theme, None)


def _other(note: Note) -> Note:
    """Some other note: before the first of a tune nothing sounds, so that every gracenote does."""
    return Note.LOW_A if note is not Note.LOW_A else Note.LOW_G


def _unnamed(name: str) -> Ornament:
    return Ornament(*(name, (), "", "", ""), beat=0, or_beats=(), instead=(), builds_on=None, build=(), spellings=())


def _written(ornament: Ornament, lead: Note, gracenotes: Sequence[Note], theme: Note, book: Drill | None) -> Drill:
    """The steps as written."""
    kinds = [Kind.QUICK] * len(gracenotes)
    beat = 0
    sounding = [index for index, note in enumerate(gracenotes) if note is not (lead, *gracenotes)[index]]
    if book is not None and melted(lead, *gracenotes, theme) == melted(lead, *(step.note for step in book.steps)):
        heard = [index for index in book.sounding if index < len(book.steps) - 1]
        for index, at in zip(sounding, heard, strict=False):
            kinds[index] = book.steps[at].kind
        on_beat = book.sounding.index(book.anchor_step)
        beat = sounding[on_beat] if on_beat < len(sounding) else len(gracenotes)
    else:
        spelling = next((one for one in ornament.spellings if one.on(theme)[:-1] == tuple(gracenotes)), None)
        if spelling is not None:
            kinds = list(spelling.kinds)
            beat = len(gracenotes) if ornament.beat is None else ornament.beat
    notes = (*gracenotes, theme)
    steps = tuple(
        Step(note, kind, note is not before, (kind,))
        for note, kind, before in zip(notes, (*kinds, Kind.THEME), (lead, *notes), strict=False)
    )
    order = (*range(beat, -1, -1), *range(beat + 1, len(steps)))
    anchor = next((index for index in order if steps[index].sounds), len(steps) - 1)
    return Drill(ornament, lead, theme, None, 1, steps, beat, anchor)
