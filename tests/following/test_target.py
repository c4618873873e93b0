"""What a rep is followed by, worked out from its segment."""

import pytest

from chanterd.following.cost import STANDARD_COSTS as COSTS
from chanterd.following.target import NOTHING, target_of
from chanterd.music.drill import drill_from_words
from chanterd.music.note import Note
from chanterd.music.segment import make_segment
from chanterd.music.units import NS_PER_MS, Bpm

GRIP = make_segment(drill_from_words("grip from B to C"), Bpm(60))


def test_steps_are_those_that_sound() -> None:
    """A grip from B has three; from low G the first melts into the note before (common practice)."""
    assert target_of(GRIP, 1e9, COSTS).steps == (Note.LOW_G, Note.D, Note.LOW_G)
    from_low_g = make_segment(drill_from_words("grip from low G to C"), Bpm(60))
    assert target_of(from_low_g, 1e9, COSTS).steps == (Note.D, Note.LOW_G)


def test_leaving_a_step_out_costs_less_where_it_could_not_sound() -> None:
    """The note that sounds already melts; the theme is dearest, since the melody rests on it."""
    target = target_of(GRIP, 1e9, COSTS)
    assert target.skip(1, Note.LOW_G) == COSTS.melted
    assert target.skip(1, Note.B) == COSTS.missing
    assert target.skip(4, Note.LOW_G) == COSTS.no_theme
    assert target.skips[NOTHING][-1] == pytest.approx(4 * COSTS.missing + COSTS.no_theme)


def test_an_added_movement_is_quick_at_any_tempo() -> None:
    """At most 200 ms, and never more than half of the theme note's target length."""
    assert target_of(GRIP, 1e9, COSTS).added_ns == COSTS.added_ms * NS_PER_MS
    fast = make_segment(drill_from_words("grip from B to C"), Bpm(240))
    assert target_of(fast, 0.25e9, COSTS).added_ns == pytest.approx(125 * NS_PER_MS)
