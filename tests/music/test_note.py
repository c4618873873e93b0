"""The nine notes: names, letters, MIDI numbers, and what is said of a name that is none."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.config import ChanterdError
from chanterd.music.note import ABC, WORDS, Note, note_from_abc, note_from_words

SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
"""Above C (common practice); the chanter's C and F sound sharp, and ABC's octave sign is lower case."""


def pitch(letter: str) -> int:
    """The MIDI number of an ABC letter (ABC notation: C is middle C, number 60) with the chanter's sharp C and F."""
    sharp = letter.upper() in ("C", "F")
    return 60 + SEMITONES[letter.upper()] + 12 * letter.islower() + sharp


def test_the_written_midi_numbers_follow_from_the_letters() -> None:
    """ABC notation under K:HP (an open standard): G A B c d e f g a with F and C sharp give 67 to 81."""
    assert [note.midi for note in Note] == [pitch(note.abc) for note in Note]
    assert [note.midi for note in Note] == [67, 69, 71, 73, 74, 76, 78, 79, 81]


def test_notes_compare_by_pitch() -> None:
    """Low G is the lowest and high A the highest; every next one sounds higher."""
    assert sorted(Note) == list(Note)
    assert all(low < high and low.midi < high.midi for low, high in pairwise(Note))
    assert (Note.LOW_G.words, Note.HIGH_A.words) == ("low G", "high A")


@given(st.sampled_from(list(Note)), st.sampled_from([" ", "-", "  ", " - "]), st.sampled_from([str.upper, str.lower]))
def test_case_hyphens_and_blanks_do_not_matter_in_words(note: Note, between: str, cased: type[str]) -> None:
    """'LOW-G' and ' low  g ' are low G."""
    assert note_from_words(f" {cased(note.words).replace(' ', between)} ") is note


def test_capitals_matter_in_letters() -> None:
    """G is low G and g is high G: ABC letters name the octave by case."""
    assert [note_from_abc(letter) for letter in ABC] == list(Note)
    assert (note_from_abc("G"), note_from_abc("g")) == (Note.LOW_G, Note.HIGH_G)


@pytest.mark.parametrize("words", ["g", "A", "G"])
def test_a_note_with_two_octaves_must_say_which(words: str) -> None:
    """G and A are there twice; nothing is guessed."""
    with pytest.raises(ChanterdError, match=r"is not a note of the chanter\. Say which: 'low' or 'high'\. The nine"):
        note_from_words(words)


def test_a_misspelt_note_is_guessed_and_the_nine_are_named() -> None:
    """The message repeats what was said, guesses, and lists all nine."""
    with pytest.raises(ChanterdError) as caught:
        note_from_words("lo G")
    assert str(caught.value) == (
        f"'lo G' is not a note of the chanter. Did you mean 'low G'? The nine notes are {', '.join(WORDS)}."
    )


@pytest.mark.parametrize("words", ["", "H", "high", "low C", "c sharp", "8"])
def test_what_is_no_note_is_refused(words: str) -> None:
    """Nothing but the nine names passes."""
    with pytest.raises(ChanterdError, match="is not a note of the chanter"):
        note_from_words(words)


@pytest.mark.parametrize("letter", ["", "GA", "h", "C", "F", "^f"])
def test_what_is_no_letter_is_refused(letter: str) -> None:
    """The chanter has no low C or F; the nine letters are named."""
    with pytest.raises(ChanterdError, match="is not an ABC letter of the chanter; the nine are G A B c d e f g a"):
        note_from_abc(letter)
