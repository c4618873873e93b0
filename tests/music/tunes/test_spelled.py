"""Gracenotes as drills, step by step as they are written."""

import pytest

from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.tunes.spelled import spelled_drill

NOTE = {note.abc: note for note in Note}


def notes(letters: str) -> list[Note]:
    """From their letters in ABC."""
    return [NOTE[letter] for letter in letters]


@pytest.mark.parametrize(
    ("lead", "graces", "theme", "name", "anchor"),
    [
        ("B", "GdG", "c", "grip", 3),
        ("A", "gcd", "c", "doubling", 0),
        ("A", "g", "B", "G gracenote", 0),
        ("A", "GAG", "A", "birl", 0),
        ("e", "gAe", "c", "group of gracenotes", 0),
        ("e", "B", "c", "gracenote", 0),
        (None, "g", "A", "G gracenote", 0),
    ],
)
def test_steps_are_the_gracenotes_as_written(lead: str | None, graces: str, theme: str, name: str, anchor: int) -> None:
    """Whether the book spells it so, spells it otherwise, or does not know it."""
    drill = spelled_drill(standard_book(), None if lead is None else NOTE[lead], notes(graces), NOTE[theme])
    assert [step.note for step in drill.steps] == notes(graces + theme)
    assert drill.ornament.name == name
    assert drill.anchor_step == anchor
    assert drill.steps[-1].kind is Kind.THEME


def test_the_books_own_drill_is_used_where_there_is_one() -> None:
    """So that its build-up can help."""
    drill = spelled_drill(standard_book(), Note.B, notes("GdG"), Note.C)
    assert (drill.words, drill.stages > 1) == ("grip from B to C", True)


def test_what_melts_into_the_note_before_does_not_sound() -> None:
    """A doubling after high G lacks its first gracenote."""
    drill = spelled_drill(standard_book(), Note.HIGH_G, notes("gef"), Note.E)
    assert [step.sounds for step in drill.steps] == [False, True, True, True]
    assert drill.anchor_step == 1
