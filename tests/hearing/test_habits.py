"""The habits of the simulated player that ship."""

from dataclasses import fields

from chanterd.hearing.habits import GOOD, Habits


def test_the_default_is_a_machine() -> None:
    """Without habits there is neither noise nor mistake nor bias."""
    habits = Habits()
    assert all(getattr(habits, field.name) == 0 for field in fields(habits) if field.name != "correction")


def test_the_good_player_is_a_little_late_and_human() -> None:
    """The demo's habit is honest: late on the beat, with every kind of mistake now and then, and never always."""
    assert 0 < GOOD.bias_ms < 20
    chances = {"crushed", "missing", "wrong", "wind_up", "skipped", "crossing", "bounce", "overlap"}
    assert all(0 < getattr(GOOD, chance) < 0.5 for chance in chances)
