"""When gracenotes are expected."""

import pytest

from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.score import make_score
from chanterd.music.tunes.timing import MOST_OF_NOTE, Ornaments
from chanterd.music.units import NS_PER_MS

CLICK_NS = 1e9


def ornaments(music: str, click_ns: float = CLICK_NS) -> Ornaments:
    """Of a tune in eighths, a click being a quarter."""
    [tune] = read_abc(f"X:1\nM:2/4\nL:1/8\nK:HP\n{music}\n".encode())
    return Ornaments(make_score(tune), standard_book(), standard_spread(), click_ns)


def test_the_step_on_the_beat_is_due_when_the_note_is_written() -> None:
    """The grip before its melody note, the doubling from its own beginning on; lengths as in a drill at 60."""
    found = ornaments("B2 {GdG}c2 | A2 {gcd}c2 |")
    grip, doubling = found.of(1, Note.B), found.of(3, Note.LOW_A)
    assert grip is not None
    assert doubling is not None
    assert [round(at / NS_PER_MS) for at in grip.offsets_ns] == [-160, -100, -60, 0]
    assert [round(at / NS_PER_MS) for at in doubling.offsets_ns] == [0, 40, 100, 140]


@pytest.mark.parametrize("click_ns", [CLICK_NS, 0.25e9])
def test_a_short_note_keeps_enough_of_itself(click_ns: float) -> None:
    """However fast the tune is."""
    found = ornaments("B/4{gcd}c/4{GdG}A/4 z z/4 |", click_ns).graces_ns()
    note = click_ns / 8
    assert max(found) <= MOST_OF_NOTE * note * 1.001
    assert min(found) >= -MOST_OF_NOTE * note * 1.001


def test_the_lead_is_the_note_as_written_and_none_before_the_first() -> None:
    """Then every gracenote sounds."""
    found = ornaments("{g}A2 {g}B2 |")
    assert [found.lead(0), found.lead(1)] == [None, Note.LOW_A]
    assert found.of(0, None) is not None
    assert ornaments("A2 B2 |").of(0, None) is None
