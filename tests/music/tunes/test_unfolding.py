"""In which order bars are played."""

import pytest

from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.unfolding import MOST_TIMES, as_played, notes_in, sections_of


def played(body: str) -> str:
    """The letters of the bars, in the order in which they are played."""
    [tune] = read_abc(f"X:1\nM:4/4\nL:1/8\nK:HP\n{body}\n".encode())
    notes = notes_in(tune)
    return "".join(tune.notes[notes[bar][0]].note.abc for bar in as_played(tune.bars) if notes[bar])


@pytest.mark.parametrize(
    ("body", "order"),
    [
        ("A8|B8|c8|]", "ABc"),
        ("|:A8|B8:|c8|]", "ABABc"),
        ("A8|B8:|c8:|", "ABABcc"),  # back to the last closing sign
        ("A8||B8:|c8|]", "ABBc"),  # or to the last double bar line
        ("|:A8||B8:|", "ABAB"),  # but to the sign where there is one
        ("|:A8::B8:|", "AABB"),
        ("|:A8|:B8:|", "ABB"),  # a repeat that nothing closes
        ("e|A8|B7:|:f|c8|d7:|", "eABeABfcdfcd"),
        ("|:A8|1 B8:|2 c8|]d8|", "ABAcd"),
        ("A8|1 B8:|2 c8||d8|1 e8:|2 f8|]", "ABAcdedf"),
        ("|:A8|1 B8:|2 c8||d8|1 e8:|2 f8|]", "ABAcdedf"),
        ("|:A8|1 B8:|2 c8:|:d8|1 e8:|2 f8:|", "ABAcdedf"),  # a sign behind the last ending leads nowhere
        ("|:A8|1,3 B8:|2 c8:|d8|", "ABAcABd"),
        ("|:A8|1,3 B8:|2,4 c8:|]d8|", "ABAcABAcd"),
        ("|:A8|1-3 B8:|4 c8|]", "ABABABAc"),
        ("|:A8|1 B8:|2 c8:|3 d8|]", "ABAcAd"),
        ("|:A8|1 B8|C8:|2 c8|d8|]e8|", "ABAcde"),
        ("|::A8::|B8|", "AAAB"),
        ("A8|1 B8|2 c8|]", "ABAc"),  # no sign closes it
        ("|:A8|1 B8:|1 c8|]", "ABAc"),  # both are called the first
        ("|:A8|1 B8:|c8|]", "ABAc"),  # the second ending is not marked
        ("A8|B8|2 c8|]", "ABc"),  # a second ending without a first
        ('|:A8|["1st" B8:|["2nd" c8|]', "ABAc"),
        ("|:A8|B8 [1 c8:| [2 d8|]", "ABcABd"),
    ],
)
def test_repeats_and_endings_are_played_as_a_piper_would(body: str, order: str) -> None:
    """By ABC 2.1, 4.8 and 4.9 (from memory); what writers leave out is filled in: common practice, no source."""
    assert played(body) == order


def test_sections_hold_every_bar_once_in_order() -> None:
    """Whatever is repeated."""
    [tune] = read_abc(b"X:1\nM:4/4\nL:1/8\nK:HP\nA8|B8|]|:c8|1,3 d8:|2 e8:|f8||g8:|\n")
    sections = sections_of(tune.bars)
    bars = [bar for one in sections for bar in (*one.body, *(bar for end in one.endings for bar in end.bars))]
    assert bars == list(range(len(tune.bars)))
    assert [one.times for one in sections] == [1, 3, 1, 2]


def test_a_file_cannot_ask_for_ages() -> None:
    """A section is played twelve times at most."""
    assert played("|:A8|1-99 B8:|") == "AB" * MOST_TIMES
    assert played(f"|{':' * 500}A8{':' * 500}|") == "A" * MOST_TIMES
