"""The shapes of the answers."""

from chanterd.history.answers import ALWAYS, Way, Weakness


def test_the_share_of_clean_reps_is_of_those_played() -> None:
    """Three of four are three quarters."""
    weak = Weakness(Way("grip", "B", "C"), 4, 3, 1, "2026-03-31", None, None, 60.0)
    assert weak.clean_share == 0.75


def test_a_span_that_nobody_bounded_is_open() -> None:
    """On both ends."""
    assert (ALWAYS.first, ALWAYS.last) == (None, None)
