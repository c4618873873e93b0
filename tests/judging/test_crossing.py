"""Which fingers crossed: read from the note that sounded, by the table of fingerings."""

import pytest

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.crossing import Crossing, crossings
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note
from tests.judging.followed_reps import Rep


@pytest.mark.parametrize(
    ("before", "noise", "after", "said"),
    [
        (Note.C, Note.LOW_A, Note.E, "From C to E, your left ring finger moved after the others"),
        (Note.C, Note.B, Note.E, "From C to E, your left ring and right ring fingers moved after the others"),
        (Note.D, Note.C, Note.E, "From D to E, your right index finger moved before the others"),
        (Note.LOW_A, Note.B, Note.C, "From low A to C, your right ring finger moved before the others"),
        (Note.B, Note.LOW_A, Note.LOW_G, "From B to low G, your right little finger moved after the right ring finger"),
        (Note.B, Note.E, Note.HIGH_G, "From B to high G, your left index and middle fingers moved after the others"),
        (
            Note.HIGH_A,
            Note.LOW_A,
            Note.D,
            "From high A to D, your thumb, left index and middle fingers moved before the others",
        ),
    ],
)
def test_the_fewer_fingers_are_named(before: Note, noise: Note, after: Note, said: str) -> None:
    """Worked out by hand from the fingerings (common practice, from memory): who was late, or who was too soon."""
    assert Crossing(before, noise, after).said == said


def found(rep: Rep) -> list[tuple[Note, Note]]:
    """Between which notes each explained noise sounded."""
    before = None if rep.before is None else rep.before.measured()
    crossed = crossings(rep.measured(), before, drill_from_words(rep.words))
    return [(one.before, one.after) for one in crossed.values()]


def noise(note: Note, at_ms: float) -> tuple[Note, float, float, ExtraKind]:
    """A noise of 30 ms."""
    return note, at_ms, 30.0, ExtraKind.CROSSING_NOISE


def test_a_noise_is_named_by_the_intended_notes_around_it() -> None:
    """From the lead B to the first low G of a grip; from the last low G to its C the fingers pass through nothing."""
    assert found(Rep(extras=[noise(Note.LOW_A, 830.0)])) == [(Note.B, Note.LOW_G)]
    assert found(Rep(wrong={0: Note.C}, words="grip from E to F", extras=[noise(Note.LOW_A, 830.0)])) == [
        (Note.E, Note.C)
    ]


def test_beside_a_gracenote_the_table_does_not_tell() -> None:
    """A gracenote is one finger over another note, no fingering of its own (common practice, from memory)."""
    assert found(Rep(extras=[noise(Note.C, 895.0)])) == []


def test_a_noise_before_the_first_note_comes_from_the_theme_of_the_rep_before() -> None:
    """From C back to B there is no third note; in a grip from low A to E the fingers pass through something."""
    rep = Rep(words="grip from B to E", rep=1, extras=[noise(Note.LOW_A, 1990.0)])
    assert found(rep) == []
    before = Rep(words="grip from B to E")
    assert found(Rep(words="grip from B to E", rep=1, extras=[noise(Note.LOW_A, 1990.0)], before=before)) == [
        (Note.E, Note.B)
    ]


def test_a_lead_that_went_on_sounding_is_the_note_before() -> None:
    """It has no onset of its own, and is there all the same."""
    rep = Rep(states={-1: StepState.MERGED}, extras=[noise(Note.LOW_A, 830.0)])
    assert found(rep) == [(Note.B, Note.LOW_G)]


def test_a_note_that_the_fingers_do_not_pass_through_is_not_explained() -> None:
    """High G is on no way from B to low G."""
    assert found(Rep(extras=[noise(Note.HIGH_G, 830.0)])) == []
