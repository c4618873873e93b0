"""A take out of the history as a page gets it."""

from chanterd.assessing.tune_again import SoundedAgain, TakeAgain
from chanterd.music.note import Note
from chanterd.serving.wire.past_tunes import take_again


def test_notes_are_in_words_and_silence_is_none() -> None:
    """Times to a tenth of a ms."""
    notes = (SoundedAgain(0.0, Note.LOW_A, 3), SoundedAgain(0.123456, None, None))
    assert take_again(TakeAgain(notes, ((0.5, True),), 1.0, 0.25)) == {
        "notes": [{"at_s": 0.0, "note": "low A", "place": 3}, {"at_s": 0.1235, "note": None, "place": None}],
        "clicks": [{"at_s": 0.5, "accent": True}],
        "end_s": 1.0,
        "begins_s": 0.25,
    }
