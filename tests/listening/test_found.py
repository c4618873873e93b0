"""What was recognised."""

from tests.listening.played_notes import found_in


def test_the_likeliest_is_first_and_those_as_likely_are_beside_it() -> None:
    """From low G to low G a D gracenote sounds like a grip: low G, D, low G."""
    (one,) = found_in("G700 d35 G700")
    assert one.way is not None
    words = {one.way.words, *(other.words for other in one.others)}
    assert words == {"D gracenote from low G to low G", "grip from low G to low G"}


def test_its_sounds_end_with_the_melody_note() -> None:
    """And begin after the note before."""
    (one,) = found_in("B700 G50 d30 G50 c700")
    assert one.lead is not None
    assert "".join(sound.note.abc for sound in (one.lead, *one.sounds)) == "BGdGc"
