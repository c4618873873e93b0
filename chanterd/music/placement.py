"""Placements: where the beat of an ornament may fall, and what each place is called.

Schools differ, above all on throws and birls. The book says where most put the beat, and in ``or_beat`` where others
do. An ornament with its beat moved there is one like any other, and all that depends on the beat follows it.
A place is a step's index from 0, or None for the theme note; as tables and files write it, ``step 1`` or ``theme``.
"""

from collections.abc import Iterator
from dataclasses import replace

from chanterd.config import ChanterdError, quoted
from chanterd.music.note import Note
from chanterd.music.ordinal import ordinal
from chanterd.music.ornament import Kind, Ornament, Spelling, plain
from chanterd.music.sounding import gracenote_name, quick_name, why_spelling_silent
from chanterd.music.ways import find_spelling, from_to


def place_key(beat: int | None) -> str:
    """A place as tables write it."""
    return "theme" if beat is None else f"step {beat + 1}"


def as_in_book(ornament: Ornament) -> Ornament:
    """The ornament with its beat where the book puts it."""
    return ornament.as_in_book or ornament


def places(ornament: Ornament) -> tuple[int | None, ...]:
    """Every place that its beat may have, the book's own first."""
    return (as_in_book(ornament).beat, *ornament.or_beats)


def moved_to(ornament: Ornament, beat: int | None) -> Ornament:
    """The ornament with its beat there."""
    book = as_in_book(ornament)
    return book if beat == book.beat else replace(book, beat=beat, as_in_book=book)


def moved_by_key(ornament: Ornament, key: str | None) -> Ornament:
    """The ornament with its beat where the key says, or as the book has it where the book knows no such place."""
    found = (moved_to(ornament, beat) for beat in places(ornament) if place_key(beat) == key)
    return next(found, as_in_book(ornament))


def choices(ornament: Ornament, lead: Note, theme: Note) -> Iterator[Ornament]:
    """The ornament as the book has it, then with its beat at each other place where it can be heard between the two."""
    for beat in places(ornament):
        moved = moved_to(ornament, beat)
        if find_spelling(moved, lead, theme):
            yield moved


def beat_name(ornament: Ornament, lead: Note, theme: Note) -> str:
    """What the note on the beat is called among the places that it may have: ``low A``, ``low G tap``, ``C``."""
    spelling = find_spelling(ornament, lead, theme)
    if spelling is None:
        return ""
    names = step_names(spelling, theme)
    here = _index(ornament.beat, names)
    alike = sorted(place for beat in places(ornament) if names[place := _index(beat, names)] == names[here])
    return f"{ordinal(alike.index(here))} {names[here]}" if len(alike) > 1 else names[here]


def with_beat_on(ornament: Ornament, lead: Note, theme: Note, words: str) -> Ornament:
    """The ornament with its beat on the note that the words name.

    Raises ChanterdError if teachers do not put it there, or if it cannot be heard there between the two notes.
    """
    here = list(choices(ornament, lead, theme))
    named = {plain(beat_name(one, lead, theme)): one for one in here}
    if plain(words) in named:
        return named[plain(words)]
    known = " or ".join(f"the {beat_name(one, lead, theme)}" for one in here)
    raise ChanterdError(
        f"The {from_to(ornament, lead, theme)} cannot have its beat on {quoted(words)}"
        f"{_why(ornament, lead, theme, words)}; its beat is on {known}."
    )


def _why(ornament: Ornament, lead: Note, theme: Note, words: str) -> str:
    """Why a place that the book knows cannot be heard between the two notes; empty for any other."""
    spelling = find_spelling(ornament, lead, theme)
    if spelling is None:
        return ""
    names = step_names(spelling, theme)
    for beat in ornament.or_beats:
        reason = why_spelling_silent(spelling, lead, theme, beat)
        if reason and plain(words).endswith(plain(names[_index(beat, names)])):
            return f", since {reason}"
    return ""


def step_names(spelling: Spelling, theme: Note) -> list[str]:
    """What each step is called by itself, the theme note last."""
    notes = spelling.on(theme)
    names = [
        step.on(theme).words
        if step.kind is not Kind.QUICK
        else gracenote_name(step.on(theme))
        if step.gracenote
        else quick_name(step.on(theme), notes[index + 1])
        for index, step in enumerate(spelling.steps)
    ]
    return [*names, theme.words]


def _index(beat: int | None, names: list[str]) -> int:
    return len(names) - 1 if beat is None else beat
