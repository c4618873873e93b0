"""One sound, one name."""

from collections import defaultdict
from dataclasses import replace

import pytest

from chanterd.music.alike import named, sound_of
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, all_drills, drill_from_words
from chanterd.music.note import Note
from chanterd.music.ornament import Book
from chanterd.music.ways import find_spelling


def test_no_two_drills_sound_alike() -> None:
    """But for a long E beside a short one, and a grip that leads up to the beat beside a gracenote on it."""
    drills = defaultdict(list)
    for drill in all_drills():
        heard = [drill.lead]
        for step in drill.steps:
            if step.note != heard[-1]:
                heard.append(step.note)
        drills[tuple(heard)].append(drill)
    for alike in (found for found in drills.values() if len(found) > 1):
        assert len({_difference(drill) for drill in alike}) == len(alike), [drill.words for drill in alike]


def _difference(drill: Drill) -> tuple[bool, bool]:
    return drill.ornament.beat is None, any(len(step.stands_for) > 1 for step in drill.steps)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("G gracenote grip from B to low G", "doubling from B to low G"),
        ("half double strike from E to low A", "birl from E"),
        ("double strike from low A to low A", "birl from low A"),
        ("half throw on D from low G", "throw on D from low G"),
        ("half G-D-E run from B to low G", "taorluath from B to low G"),
        ("D gracenote from E to C", "passing D from E to C"),
        ("doubling from high A to F", "half doubling from high A to F"),
        ("G gracenote grip from high A to C", "half grip from high A to C"),
        ("double strike from B to low A", "double strike from B to low A"),
    ],
)
def test_the_other_name_finds_it(words: str, name: str) -> None:
    """And the drill has the name of the book from then on."""
    assert drill_from_words(words).words == name


def test_a_teacher_s_own_ornament_keeps_its_name() -> None:
    """Even where it sounds like one that ships."""
    own = replace(standard_book().find("doubling"), name="own doubling", also=())
    book = Book((*standard_book().ornaments, own))
    assert named(book, own, Note.LOW_A, Note.C) is own
    assert drill_from_words("own doubling from low A to C", book).words == "own doubling from low A to C"


def test_a_long_note_is_another_sound_than_a_short_one() -> None:
    """An introductory E is no E gracenote."""
    sounds = set()
    for name in ("E gracenote", "introductory E"):
        ornament = standard_book().find(name)
        spelling = find_spelling(ornament, Note.B, Note.LOW_A)
        assert spelling is not None
        sounds.add(sound_of(ornament, spelling, Note.B, Note.LOW_A))
    assert len(sounds) == 2
