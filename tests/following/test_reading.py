"""What a reading of a rep says of itself."""

from chanterd.following.reading import LEAD, SegmentRead, Sound, StepFound, StepState
from chanterd.music.note import Note
from chanterd.music.units import Ns


def read(*steps: StepState) -> SegmentRead:
    """A reading with these states, each played step with a sound of its own."""
    sound = Sound(Note.C, Ns(0), None)
    found = tuple(
        StepFound(0, step, state, sound if state is StepState.PLAYED else None) for step, state in enumerate(steps)
    )
    return SegmentRead(0, StepFound(0, LEAD, StepState.PLAYED, sound), found, (), 0.0, 0.0)


def test_a_rep_without_a_played_step_was_skipped() -> None:
    """Holding on to the note before is not playing."""
    assert read(StepState.MISSING, StepState.MERGED).skipped


def test_one_played_step_is_an_attempt() -> None:
    """Then it counts as a rep that was played."""
    assert not read(StepState.MISSING, StepState.PLAYED).skipped
