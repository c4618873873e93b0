"""Which note is played before another."""

import pytest

from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.played_before import notes_before


@pytest.mark.parametrize(
    ("body", "letter", "before"),
    [
        ("A4|B4|c4|", "A", ""),
        ("|:A4|B4:|", "A", ""),  # it begins the tune, whatever it is repeated from
        ("A4|B4|c4|", "B", "A"),
        ("A4|z4|c4|", "c", "A"),
        ("A4|:B4|c4:|d4|", "B", "Ac"),  # the first time from A, then from C
        ("A4|:B4|c4:|d4|", "d", "c"),
        ("A4|:B4|c4|", "B", "A"),  # a repeat that nothing closes
        ("|:A4|1 B4:|2 c4|]", "B", "A"),
        ("|:A4|1 B4:|2 c4|]", "c", "A"),
        ("|:A4|1 B4|c4:|2 d4|e4|]", "d", "A"),
        ("|:A4|1 B4|c4:|2 d4|e4|]", "e", "d"),
        ("|:A4|1 B4:|2 c4:|3 d4|]", "d", "A"),
        ("|:A4|1 B4:|2 c4|]d4|", "d", "c"),
        ("|:A4|1,3 B4:|2 c4:|]d4|", "d", "B"),  # the last time through it is the ending written first
        ("A4|B4:|c4|", "c", "B"),
        ("|:A4|1,3 B4:|2 c4|]", "c", "A"),
        ('|:A2|["1st" B2:|["2nd" c2|]', "c", "A"),  # in mid-bar
        ("A4|B4|2 c4|]", "c", "B"),  # a second ending without a first
    ],
)
def test_the_note_before(body: str, letter: str, before: str) -> None:
    """By the letters of ABC; two where the first time through differs from the next."""
    [tune] = read_abc(f"X:1\nM:2/4\nL:1/8\nK:HP\n{body}\n".encode())
    place = next(index for index, note in enumerate(tune.notes) if note.note.abc == letter)
    assert "".join(tune.notes[index].note.abc for index in notes_before(tune)[place]) == before
