"""The build-up of an ornament where it is in a tune: from the step that carries the beat to all of its gracenotes.

An ornament of the book is built up as the book does it. Gracenotes that the book does not know are built up by the
book's general rule (``music.build``), from one placeholder note on: a gracenote that equals the theme note, or is below
two different neighbours, carries the rhythm, the others only articulate (common practice, no source).
"""

from collections.abc import Sequence
from dataclasses import replace

from chanterd.config import ChanterdError
from chanterd.music.drill import Drill, make_drill
from chanterd.music.note import Note
from chanterd.music.ornament import Book, Kind, Ornament, SpelledStep, Spelling
from chanterd.music.sounding import melted
from chanterd.music.tunes.played_before import notes_before
from chanterd.music.tunes.spelled import spelled_drill
from chanterd.music.tunes.tune import Tune
from chanterd.music.ways import find_spelling


def build_up(book: Book, tune: Tune, note: int) -> tuple[Drill, ...]:
    """The stages of the ornament on that note, the last one as it is written; stages count from 1."""
    return _stages(book, tune, note, notes_before(tune)[note])


def stage_counts(book: Book, tune: Tune) -> list[int]:
    """By note, how many stages the build-up of its ornament has; 0 where it has none."""
    befores = notes_before(tune)
    return [
        len(_stages(book, tune, index, befores[index])) if note.gracenotes else 0
        for index, note in enumerate(tune.notes)
    ]


def _stages(book: Book, tune: Tune, note: int, before: Sequence[int]) -> tuple[Drill, ...]:
    written = tune.notes[note]
    lead = tune.notes[before[0]].note if before else None
    full = spelled_drill(book, lead, written.gracenotes, written.note)
    ornament = full.ornament
    known = find_spelling(ornament, full.lead, full.theme)
    sound = melted(full.lead, *written.gracenotes, full.theme)
    if known is None or melted(full.lead, *known.on(full.theme)) != sound:
        ornament = _own(full, written.gracenotes)
    if find_spelling(ornament, full.lead, full.theme) is None:
        return (full,)
    count = make_drill(ornament, full.lead, full.theme).stages
    stages = [make_drill(ornament, full.lead, full.theme, number) for number in range(1, count)]
    return (*stages, replace(full, stages=count))


def at_stage(book: Book, tune: Tune, note: int, stage: int) -> Drill:
    """One stage of the ornament on that note, counted from 1. Raises ChanterdError if there is no such stage."""
    stages = build_up(book, tune, note)
    if not 1 <= stage <= len(stages):
        has = f"stages 1 to {len(stages)}" if len(stages) > 1 else "one stage only, which is all of it"
        raise ChanterdError(f"The stage is {stage}; the build-up of this ornament has {has}.")
    return stages[stage - 1]


def with_stage(tune: Tune, note: int, drill: Drill) -> Tune:
    """The tune with no more before that note than the stage has."""
    gracenotes = tuple(step.note for step in drill.steps[:-1])
    changed = replace(tune.notes[note], gracenotes=gracenotes)
    return replace(tune, notes=(*tune.notes[:note], changed, *tune.notes[note + 1 :]))


def _own(full: Drill, gracenotes: Sequence[Note]) -> Ornament:
    """Those gracenotes as an ornament of their own, without what the note before sounds already."""
    notes = melted(full.lead, *gracenotes, full.theme)
    rhythm = {
        index
        for index, (before, note, after) in enumerate(zip(notes, notes[1:], notes[2:], strict=False))
        if note is full.theme or (note < before and note < after and before is not after)
    }
    steps = tuple(
        SpelledStep(note, Kind.HELD if index in rhythm else Kind.QUICK, passing=True)
        for index, note in enumerate(notes[1:-1])
    )
    spelling = Spelling(frozenset({full.theme}), frozenset({full.lead}), "any", steps)
    return replace(full.ornament, beat=0, build=(), builds_on=None, spellings=(spelling,))
