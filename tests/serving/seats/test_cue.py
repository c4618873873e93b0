"""What an input that performs is to play."""

from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.units import Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import make_run
from chanterd.serving.seats.cue import cue_for


def test_a_step_that_cannot_sound_is_not_cued() -> None:
    """A grip from low G begins with the note that is sounding already: an input that performs leaves it out."""
    exercise = Exercise(drill_from_words("grip from low G to B"), Bpm(60.0), read_standards()[DEFAULT])
    phrase = cue_for(make_run(exercise, Ns(0))).phrase(0)
    # Two equal notes in a row cannot be sounded (common practice, no source).
    assert [note.words for note in phrase.notes] == ["low G", "D", "low G", "B"]
    assert len(phrase.notes) == len(phrase.offsets_ns)
