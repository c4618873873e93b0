"""Fingering: which fingers move, and which notes are passed through when they do not move together."""

from itertools import product
from pathlib import Path

import pytest

from chanterd.config import ConfigError, bundled
from chanterd.music.fingering import (
    FINGERS,
    Passing,
    crossing_notes,
    fingers_moved,
    is_little_finger,
    noise_notes,
    passing,
    read_fingering,
    standard_fingering,
)
from chanterd.music.note import Note, note_from_abc

GRID = {
    "G": "x xxx xxxx",
    "A": "x xxx xxxo",
    "B": "x xxx xxoo",
    "c": "x xxx xoox",
    "d": "x xxx ooox",
    "e": "x xxo xxxo",
    "f": "x xoo xxxo",
    "g": "x ooo xxxo",
    "a": "o oox xxxo",
}
"""From the thumb down, x = closed: common practice, from memory, no source."""

_COUNTED = "GA1 AB1 Bc2 cd1 de5 ef1 fg1 ga2 Ac3 Ad4 Bd3 ce4 Be2 Ae1 df6 cg6 dg7 da7"
MOVED = {one[:2]: int(one[2]) for one in _COUNTED.split()}
"""Fingers moved between two notes: the Hamming distance of that grid, counted by hand."""

NOTES = list(product(Note, Note))


def said(path: Path, text: str) -> list[str]:
    """What is said of a fingering table, a line each."""
    path.write_text(text)
    with pytest.raises(ConfigError) as caught:
        read_fingering(path)
    return str(caught.value).splitlines()


def test_the_table_is_the_one_pipers_use() -> None:
    """Each note's holes in configs/fingering.toml are as common practice has them."""
    closed = standard_fingering().closed
    for letter, holes in GRID.items():
        assert closed[note_from_abc(letter)] == tuple(hole == "x" for hole in holes.replace(" ", ""))


@pytest.mark.parametrize(("pair", "count"), MOVED.items())
def test_how_many_fingers_move(pair: str, count: int) -> None:
    """Counted by hand; C to E moves 4, D to E 5, D to high G 7, low A to E only one."""
    a, b = map(note_from_abc, pair)
    assert fingers_moved(a, b) == fingers_moved(b, a) == count


def test_the_fingers_that_move_have_names() -> None:
    """Low A to B lifts the right ring finger; high G to high A moves the thumb and the left ring finger."""
    fingering = standard_fingering()
    assert [FINGERS[hole] for hole in fingering.moved(Note.LOW_A, Note.B)] == ["right ring finger"]
    assert [FINGERS[hole] for hole in fingering.moved(Note.HIGH_G, Note.HIGH_A)] == ["thumb", "left ring finger"]


def test_crossing_notes_are_on_the_fingers_way() -> None:
    """Read off the grid by hand: C to E passes through low G, low A or B; low G to B through low A; B to C nothing."""
    assert crossing_notes(Note.C, Note.E) == {Note.LOW_G, Note.LOW_A, Note.B}
    assert crossing_notes(Note.LOW_G, Note.B) == {Note.LOW_A}
    assert crossing_notes(Note.B, Note.C) == frozenset()


def on_the_way(a: Note, between: Note, b: Note) -> bool:
    """Each finger of the note between is where it was before or where it will be (read from the grid above)."""
    one, other, way = (GRID[note.abc] for note in (a, b, between))
    return all(hole in (before, after) for before, hole, after in zip(one, way, other, strict=True))


@pytest.mark.parametrize(("a", "b"), NOTES)
def test_crossing_notes_are_those_the_grid_gives(a: Note, b: Note) -> None:
    """Of all nine notes, other than the two themselves, exactly those on the way; the same there and back."""
    expected = {note for note in Note if note not in (a, b) and on_the_way(a, note, b)}
    assert crossing_notes(a, b) == crossing_notes(b, a) == expected


def test_one_finger_alone_passes_through_nothing() -> None:
    """With a single finger there is no order in which two could differ: no crossing noise from low A to E."""
    for a, b in NOTES:
        if fingers_moved(a, b) <= 1:
            assert not crossing_notes(a, b)


def test_an_error_in_a_table_lists_all_its_mistakes(tmp_path: Path) -> None:
    """A note that is none, a hole too many, a letter that is neither x nor o, and a note left out: four lines."""
    text = (bundled("configs") / "fingering.toml").read_text()
    text = (
        text.replace('"low A"', '"lowest A"')
        .replace('"x xxx xxoo"', '"x xxx xxoox"')
        .replace('"o oox xxxo"', '"O oox"')
    )
    lines = said(tmp_path / "fingering.toml", text)
    assert sorted(lines) == sorted(
        [
            "fingering.toml: fingering: 'B': 'x xxx xxoox' must be eight holes, each x (closed) or o (open).",
            "fingering.toml: fingering: 'high A': 'O oox' must be eight holes, each x (closed) or o (open).",
            (
                "fingering.toml: fingering: 'lowest A' is not a note of the chanter. Did you mean 'low A'? "
                "The nine notes are low G, low A, B, C, D, E, F, high G, high A."
            ),
            (
                "fingering.toml: file: 'fingering' has no low A; all nine must be there: "
                "low G, low A, B, C, D, E, F, high G, high A."
            ),
        ]
    )


def test_a_file_without_the_table_says_what_is_missing(tmp_path: Path) -> None:
    """What must be there, or that something else is."""
    assert said(tmp_path / "fingering.toml", "") == [
        "fingering.toml: file: 'fingering' is missing; it must be a table, begun by a line [fingering]."
    ]
    assert said(tmp_path / "fingering.toml", "fingering = 3")[0] == (
        "fingering.toml: file: 'fingering' is 3; it must be a table, begun by a line [fingering]."
    )


def test_the_noise_shows_which_fingers_had_moved() -> None:
    """From C to E by way of low A: the right hand was there, the left ring finger (hole 3) was not. Holes from 0."""
    fingers = passing(Note.C, Note.LOW_A, Note.E)
    assert (fingers.moved, fingers.late) == ((5, 6, 7), (3,))
    assert fingers.explains


def test_every_noise_has_fingers_that_moved_and_fingers_that_had_not() -> None:
    """For each change and each note on its way: together they are all the fingers that move, and neither is empty."""
    for before in Note:
        for after in Note:
            for noise in crossing_notes(before, after):
                fingers = passing(before, noise, after)
                assert fingers.explains
                assert sorted((*fingers.moved, *fingers.late)) == list(standard_fingering().moved(before, after))


def test_what_is_no_crossing_has_no_fingers() -> None:
    """High G is on no way from B to low G."""
    assert passing(Note.B, Note.HIGH_G, Note.LOW_G) == Passing((), ())
    assert not passing(Note.B, Note.HIGH_G, Note.LOW_G).explains


def test_the_little_finger_comes_up_where_it_should_stay_down() -> None:
    """Between low G and C or D a low A or B is its doing (common practice, no source); elsewhere it is not asked."""
    assert noise_notes(Note.LOW_G, Note.C) == {Note.LOW_A, Note.B}
    assert noise_notes(Note.D, Note.LOW_G) == {Note.LOW_A, Note.B, Note.C}
    assert noise_notes(Note.C, Note.E) == crossing_notes(Note.C, Note.E)
    assert is_little_finger(Note.LOW_G, Note.LOW_A, Note.C)
    assert not is_little_finger(Note.C, Note.LOW_A, Note.E)
