"""The onsets of a rep: what each would cost unasked, and what is known of its length."""

import pytest

from chanterd.following.cost import STANDARD_COSTS as COSTS
from chanterd.following.onsets import Onsets
from chanterd.music.note import Note

MS = 1_000_000


def onsets(*played: tuple[Note, int], before: Note | None = None) -> Onsets:
    """Onsets at these times in ms."""
    found = Onsets(COSTS)
    found.before = before
    for note, at_ms in played:
        found.add(note, at_ms * MS)
    return found


def price(found: Onsets, index: int) -> float:
    """What one onset costs as an extra."""
    return round(found.sums[index + 1] - found.sums[index], 9)


def test_the_cost_of_an_extra_note_depends_on_length_and_fingers() -> None:
    """From B to low G two fingers fall: a short low A is the likeliest, a short F less so, a long one least."""
    assert price(onsets((Note.B, 0), (Note.LOW_A, 500), (Note.LOW_G, 512)), 1) == COSTS.crossing
    assert price(onsets((Note.B, 0), (Note.F, 500), (Note.LOW_G, 512)), 1) == COSTS.short_extra
    assert price(onsets((Note.B, 0), (Note.LOW_A, 500), (Note.LOW_G, 560)), 1) == COSTS.extra


def test_the_last_onsets_length_is_not_known_yet() -> None:
    """Until the next one, or a silence, it costs as much as a whole note."""
    found = onsets((Note.B, 0), (Note.F, 500))
    assert price(found, 1) == COSTS.extra
    found.end(510 * MS)
    found.settle(600 * MS)
    assert price(found, 1) == COSTS.short_extra


@pytest.mark.parametrize(("gap_ms", "length_ms"), [(25, 500), (26, 474)])
def test_a_short_silence_is_no_rest(gap_ms: int, length_ms: int) -> None:
    """Just at the limit the note lasts until the next, just past it until the silence."""
    found = onsets((Note.B, 0))
    found.end((500 - gap_ms) * MS)
    found.add(Note.LOW_G, 500 * MS)
    assert found.sound(0).length_ns == length_ms * MS


def test_after_a_rest_nothing_sounds() -> None:
    """The note before a long silence cannot be melted into; after a short one it can."""
    for rest_ms, sounding in ((20, Note.C), (200, None)):
        found = onsets((Note.C, 0))
        found.drop(1)
        found.end(100 * MS)
        found.add(Note.C, (100 + rest_ms) * MS)
        assert found.before is sounding


def test_a_bounce_takes_the_end_back() -> None:
    """The note that was sent again sounds on."""
    found = onsets((Note.B, 0))
    found.end(4 * MS)
    found.go_on(Note.B)
    assert found.sound(0).length_ns is None


def test_what_a_closed_rep_has_used_is_gone() -> None:
    """The prices that are left begin at nothing again, and the last note taken is the one that sounds."""
    found = onsets((Note.B, 0), (Note.LOW_A, 500), (Note.LOW_G, 512), (Note.C, 600))
    found.drop(2)
    assert (found.notes, found.before) == ([Note.LOW_G, Note.C], Note.LOW_A)
    assert found.sums == [0.0, COSTS.extra, 2 * COSTS.extra]
