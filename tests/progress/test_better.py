"""Then and now."""

from chanterd.history.answers import PlacementDay, TempoDay, Way
from chanterd.progress.better import better, ends_of

WAY = Way("grip", "B", "C")
ON_BEAT_MS = 10.0
DAYS = [f"2026-03-{day:02}" for day in range(1, 10)]


def tempi(*bpm: float) -> list[TempoDay]:
    """A day for each."""
    return [TempoDay(WAY, day, one) for day, one in zip(DAYS, bpm, strict=False)]


def placed(*figures: tuple[float | None, float | None]) -> list[PlacementDay]:
    """A day for each (bias, spread)."""
    return [PlacementDay(WAY, day, 9, 10, 5, *one) for day, one in zip(DAYS, figures, strict=False)]


def test_the_first_third_is_held_against_the_last() -> None:
    """Nine days: three and three, and those between are left out."""
    assert ends_of(DAYS) == (DAYS[2], DAYS[6])
    assert ends_of(DAYS[:3]) == (DAYS[0], DAYS[2])
    assert ends_of(DAYS[:2]) is None


def test_a_faster_tempo_is_shown_with_both_figures() -> None:
    """By 3 clicks or more, the smallest raise that is practised (common practice)."""
    assert better(tempi(60, 60, 64, 100, 100, 100, 64, 68, 68), [], ON_BEAT_MS).tempo == "60, now 68 clicks"
    assert better(tempi(60, 62, 63), [], ON_BEAT_MS).tempo == "60, now 63 clicks"
    assert better(tempi(60, 62, 62.9), [], ON_BEAT_MS).tempo is None
    assert not better(tempi(72, 68, 60), [], ON_BEAT_MS).any


def test_nearer_to_the_beat_from_either_side() -> None:
    """By 6 ms or more, which can be heard; from late to a little early is nearer too."""
    assert (
        better([], placed((22.0, None), (15.0, None), (-8.0, None)), ON_BEAT_MS).placement
        == "22 ms late, now on the beat"
    )
    assert (
        better([], placed((-22.0, None), (-15.0, None), (0.0, None)), ON_BEAT_MS).placement
        == "22 ms early, now on the beat"
    )
    assert (
        better([], placed((52.0, None), (15.0, None), (-28.0, None)), ON_BEAT_MS).placement
        == "52 ms late, now 28 ms early"
    )
    assert (
        better([], placed((-9.9, None), (15.0, None), (0.0, None)), ON_BEAT_MS).placement is None
    )  # on the beat already
    assert better([], placed((8.0, None), (-9.0, None), (-20.0, None)), ON_BEAT_MS).placement is None
    assert better([], placed((20.0, None), (19.0, None), (14.1, None)), ON_BEAT_MS).placement is None
    assert better([], placed((5.0, None), (9.0, None), (22.0, None)), ON_BEAT_MS).placement is None


def test_steadier_counts_apart_from_nearer() -> None:
    """A habit may stay while it gets the same each time; days without a figure are passed over."""
    got = better([], placed((20.0, 24.0), (None, None), (20.0, 16.0), (20.0, 12.0)), ON_BEAT_MS)
    assert got.spread == "± 24, now ± 12 ms"
    assert got.placement is None
    assert got.any
    assert better([], placed((20.0, 24.0), (20.0, 20.0), (20.0, 18.0)), ON_BEAT_MS).spread == "± 24, now ± 18 ms"
    assert better([], placed((20.0, 24.0), (20.0, 20.0), (20.0, 18.1)), ON_BEAT_MS).spread is None


def test_one_good_day_is_no_progress() -> None:
    """Beginning and end are medians of their days, so a single fast day at either end changes nothing."""
    assert better(tempi(60, 60, 90, 60, 60, 60, 60, 60, 90), [], ON_BEAT_MS).tempo is None
    assert better(tempi(60, 60, 90, 60, 60, 60, 64, 68, 90), [], ON_BEAT_MS).tempo == "60, now 68 clicks"
