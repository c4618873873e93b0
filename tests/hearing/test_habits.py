"""The habits of the simulated player that ship."""

from dataclasses import fields

from chanterd.hearing.habits import CLASS, GOOD, Habits


def test_the_default_is_a_machine() -> None:
    """Without habits there is neither noise nor mistake nor bias."""
    habits = Habits()
    assert all(getattr(habits, field.name) == 0 for field in fields(habits) if field.name != "correction")


def test_the_good_player_is_a_little_late_and_human() -> None:
    """The demo's habit is honest: late on the beat, with every kind of mistake now and then, and never always."""
    assert 0 < GOOD.bias_ms < 20
    chances = {"crushed", "missing", "wrong", "wind_up", "skipped", "crossing", "bounce", "overlap"}
    assert all(0 < getattr(GOOD, chance) < 0.5 for chance in chances)


def test_the_class_shows_each_kind_of_trouble() -> None:
    """A teacher who looks at the demo finds every habit in somebody; no two share a name (invented players)."""
    names = [name for name, _ in CLASS]
    assert len(set(names)) == len(names)
    habits = [one for _, one in CLASS]
    assert min(one.bias_ms for one in habits) < -30
    assert max(one.bias_ms for one in habits) > 30
    assert max(one.settles_ms for one in habits) > 100
    assert max(one.beat_sd_ms for one in habits) > 30
    assert max(one.step_sd_ms for one in habits) > 10
    for chance in ("crushed", "missing", "wind_up", "skipped", "crossing"):
        worst = max(getattr(one, chance) for one in habits)
        assert 0.25 < worst < 1, chance
