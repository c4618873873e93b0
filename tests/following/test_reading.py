"""What a reading of a rep says of itself."""

from chanterd.following.reading import LEAD, RepRead, Sound, State, StepFound
from chanterd.music.note import Note
from chanterd.music.units import Ns


def read(*steps: State) -> RepRead:
    """A reading with these states, each played step with a sound of its own."""
    sound = Sound(Note.C, Ns(0), None)
    found = tuple(
        StepFound(0, step, state, sound if state is State.PLAYED else None) for step, state in enumerate(steps)
    )
    return RepRead(0, StepFound(0, LEAD, State.PLAYED, sound), found, (), 0.0, 0.0)


def test_a_rep_without_a_played_step_was_skipped() -> None:
    """Holding on to the note before is not playing."""
    assert read(State.MISSING, State.MERGED).skipped


def test_one_played_step_is_an_attempt() -> None:
    """Then it counts as a rep that was played."""
    assert not read(State.MISSING, State.PLAYED).skipped
