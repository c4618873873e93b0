"""When a segment is over: one rule for drills and tunes."""

from chanterd.following.closing import SETTLED_NS, UNFINISHED_NS, SoFar, is_over
from chanterd.music.units import Ns

BEGUN = SoFar(
    steps=True, theme_heard=False, theme_melted=False, next_begun=False, last_onset_ns=Ns(0), theme_due_ns=Ns(0)
)


def test_what_was_not_begun_is_not_over() -> None:
    """Nor is a rep of which only the note before was played."""
    assert not is_over(None, 10**12)
    assert not is_over(BEGUN._replace(steps=False, next_begun=True), 10**12)


def test_the_next_one_ends_it_at_once() -> None:
    """Whatever was left out of it."""
    assert is_over(BEGUN._replace(next_begun=True), 0)


def test_its_time_is_up_when_its_theme_note_has_sounded_for_a_moment() -> None:
    """Or has been overdue as long, and nothing more was heard."""
    heard = BEGUN._replace(theme_heard=True)
    assert not is_over(heard, SETTLED_NS - 1)
    assert is_over(heard, SETTLED_NS)
    assert not is_over(BEGUN, UNFINISHED_NS - 1)
    assert is_over(BEGUN, UNFINISHED_NS)
    late = BEGUN._replace(theme_due_ns=Ns(10**9))
    assert not is_over(late, 10**9)
    assert is_over(late, 10**9 + SETTLED_NS)


def test_a_theme_note_that_sounds_already_is_waited_for_less() -> None:
    """It cannot begin again."""
    assert is_over(BEGUN._replace(theme_melted=True), SETTLED_NS)
