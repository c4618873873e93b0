"""What can sound at all. Facts of the trade: common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.music.note import Note, note_from_abc
from chanterd.music.ornament import Kind
from chanterd.music.sounding import melted, quick_name, why_silent

Q, H = Kind.QUICK, Kind.HELD
NOTES = st.sampled_from(list(Note))


def test_a_gracenote_is_heard_only_above_both_its_neighbours() -> None:
    """A G gracenote sounds from C to low A, but not from high G or from the high A above it."""
    notes = (Note.HIGH_G, Note.LOW_A)
    assert why_silent(Note.C, notes, (Q,), 0) is None
    assert why_silent(Note.HIGH_G, notes, (Q,), 0) == "from high G the G gracenote cannot sound"
    assert (
        why_silent(Note.HIGH_A, notes, (Q,), 0)
        == "from high A the G gracenote cannot sound, being the lower of the two"
    )


def test_a_tap_is_heard_only_below_both_its_neighbours() -> None:
    """A tap to low A sounds from F to E, but not from the low A itself or from the low G below it."""
    notes = (Note.LOW_A, Note.E)
    assert why_silent(Note.F, notes, (Q,), 0) is None
    assert why_silent(Note.LOW_A, notes, (Q,), 0) == "from low A the low A tap cannot sound"
    assert (
        why_silent(Note.LOW_G, notes, (Q,), 0) == "from low G the low A tap cannot sound, being the higher of the two"
    )


def test_a_quick_step_cannot_stand_before_its_own_note() -> None:
    """A G gracenote does not bring in a high G."""
    assert why_silent(Note.C, (Note.HIGH_G, Note.HIGH_G), (Q,), 0) == "the G gracenote cannot sound before high G"


def test_a_quick_step_inside_is_named_by_the_step_before_it() -> None:
    """Not by the lead, which is further off."""
    silent = why_silent(Note.E, (Note.D, Note.D, Note.LOW_G, Note.C), (H, Q, H), None)
    assert silent == "after the D the D gracenote cannot sound"


def test_a_held_step_may_melt_into_the_note_before_it_unless_it_carries_the_beat() -> None:
    """A grip from low G has only its D and second low G to hear; a half doubling from its own note has no beat."""
    assert why_silent(Note.LOW_G, (Note.LOW_G, Note.D, Note.LOW_G, Note.E), (H, Q, H), None) is None
    silent = why_silent(Note.C, (Note.C, Note.D, Note.C), (H, Q), 0)
    assert silent == "the C that belongs on the beat would melt into the C before it"


def test_two_plain_notes_must_differ() -> None:
    """With nothing between them, equal notes melt into one: that is no change."""
    assert why_silent(Note.C, (Note.E,), (), None) is None
    assert why_silent(Note.C, (Note.C,), (), None) == "two notes on C in a row melt into one"


@pytest.mark.parametrize(
    ("note", "after", "name"),
    [
        (Note.HIGH_G, Note.C, "G gracenote"),
        (Note.HIGH_A, Note.C, "thumb gracenote"),
        (Note.D, Note.LOW_G, "D gracenote"),
        (Note.LOW_G, Note.C, "low G tap"),
        (Note.E, Note.F, "E tap"),
    ],
)
def test_a_quick_step_is_called_what_a_piper_calls_it(note: Note, after: Note, name: str) -> None:
    """A gracenote from above, a tap from below; of the two Gs the gracenote is the high one."""
    assert quick_name(note, after) == name


@given(lead=NOTES, note=NOTES, theme=NOTES)
def test_a_single_quick_step_is_either_above_both_or_below_both(lead: Note, note: Note, theme: Note) -> None:
    """Nothing else of all the 729 ways can be played, and each of the others has its reason."""
    stands_out = note > max(lead, theme) or note < min(lead, theme)
    assert (why_silent(lead, (note, theme), (Q,), 0) is None) is stands_out


def test_melted_notes_are_one() -> None:
    """The chanter sounds without a break."""
    assert melted(*map(note_from_abc, "AGGaa")) == (Note.LOW_A, Note.LOW_G, Note.HIGH_A)
