"""From pairs to states: what was skipped is missing unless it could not sound."""

from chanterd.following.cost import STANDARD_COSTS
from chanterd.following.onsets import Onsets
from chanterd.following.reading import StepState
from chanterd.following.states import states_of
from chanterd.music.note import Note
from chanterd.music.units import Ns

GRIP = (Note.B, Note.LOW_G, Note.D, Note.LOW_G, Note.C)


def heard(*notes: Note) -> Onsets:
    """These notes, 50 ms apart."""
    onsets = Onsets(STANDARD_COSTS)
    for index, note in enumerate(notes):
        onsets.add(note, Ns(index * 50_000_000))
    return onsets


def test_what_was_skipped_is_missing_and_what_cannot_sound_is_merged() -> None:
    """Without its D the second low G goes on sounding from the first."""
    found = states_of(GRIP, [(0, 0), (1, 1), (4, 2)], heard(Note.B, Note.LOW_G, Note.C), 5, None)
    assert [found[place][0].value for place in range(5)] == ["played", "played", "missing", "merged", "played"]


def test_another_note_in_its_place_is_a_wrong_note() -> None:
    """The pair names the onset that was played instead."""
    found = states_of(GRIP, [(0, 0), (1, 1), (2, 2)], heard(Note.B, Note.LOW_G, Note.E), None, None)
    assert found[2] == (StepState.WRONG_NOTE, 2)
    assert set(found) == {0, 1, 2}


def test_what_sounded_before_counts() -> None:
    """A rep whose first note sounds already cannot play it again."""
    assert states_of(GRIP, [], heard(), 1, Note.B)[0][0] is StepState.MERGED
    assert states_of(GRIP, [], heard(), 1, Note.C)[0][0] is StepState.MISSING
