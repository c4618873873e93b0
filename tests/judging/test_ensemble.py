"""How close together a band plays: the figures a class sees of itself."""

from typing import Any, cast

import numpy as np
import pytest

from chanterd.judging.ensemble import REPS_TOGETHER, Ensemble, spread_of
from chanterd.judging.report import RepResult

NOTES = ("low G", "D", "low G", "C")
BEAT_MS = 5_000.0


def rep(*onsets_ms: float | None, state: str = "played") -> RepResult:
    """A rep of a grip with these onsets from its beat; None: not played."""
    steps = [
        {
            "step": index,
            "note": note,
            "state": "missing" if at is None else state,
            "onset_ms": None if at is None else BEAT_MS + at,
        }
        for index, (note, at) in enumerate(zip(NOTES, onsets_ms, strict=True))
    ]
    return cast("RepResult", {"rep": 0, "steps": steps})


def test_the_middle_is_the_median_and_the_spread_that_of_a_sample() -> None:
    """Held against numpy: one player who is far off moves the spread, and not the middle."""
    offs = {"1": -3.0, "2": 4.0, "3": 9.0, "4": 90.0}
    band = Ensemble().take(0, {seat: rep(-160, -100, -60, off) for seat, off in offs.items()}, BEAT_MS, 3)
    assert band.seats == 4
    assert band.beat.middle_ms == pytest.approx(np.median(list(offs.values())))
    assert band.beat.spread_ms == pytest.approx(np.std(list(offs.values()), ddof=1))
    assert dict(band.steps[3].onsets) == pytest.approx(offs)
    assert [step.note for step in band.steps] == list(NOTES)
    assert (band.steps[0].spread.middle_ms, band.steps[0].spread.spread_ms) == (-160, 0)


def test_only_steps_played_correctly_count() -> None:
    """A missing step and a wrong note are no onset of that step; a seat that rested does not count as playing."""
    results = {
        "1": rep(-160, None, -60, 0),
        "2": rep(-150, -90, -50, 10),
        "3": rep(-140, -80, -40, 20, state="wrong note"),
        "4": rep(None, None, None, None),
    }
    band = Ensemble().take(0, results, BEAT_MS, 3)
    assert band.seats == 2
    assert (band.steps[1].spread.seats, band.steps[1].spread.spread_ms) == (1, None)
    assert band.beat.seats == 2


def test_nobody_and_one_alone_have_no_spread() -> None:
    """One player cannot be together with anybody."""
    ensemble = Ensemble()
    assert ensemble.take(0, {"1": rep(None, None, None, None)}, BEAT_MS, 3).beat.middle_ms is None
    alone = ensemble.take(1, {"1": rep(-160, -100, -60, 7)}, BEAT_MS, 3)
    assert (alone.beat.middle_ms, alone.beat.spread_ms, alone.together_ms) == (7, None, None)
    assert ensemble.take(2, {}, BEAT_MS, 3).seats == 0


def test_together_is_the_root_mean_square_of_the_last_eight_spreads() -> None:
    """As Rasch (1979) states the asynchrony of ensembles; a rep without a spread leaves it as it was."""
    ensemble = Ensemble()
    apart = [40.0, 10.0, 20.0, 30.0, 5.0, 15.0, 25.0, 35.0, 12.0]
    for number, gap in enumerate(apart):
        band = ensemble.take(number, {"1": rep(-9, -6, -3, 0), "2": rep(-9, -6, -3, gap)}, BEAT_MS, 3)
        spreads = [np.std([0.0, one], ddof=1) for one in apart[: number + 1]][-REPS_TOGETHER:]
        assert band.together_ms == pytest.approx(np.sqrt(np.mean(np.square(spreads))))
    before = ensemble.together_ms
    rested: dict[str, Any] = {"1": rep(-9, -6, -3, 0)}
    assert ensemble.take(99, rested, BEAT_MS, 3).together_ms == before


def test_spread_of_two() -> None:
    """Two players 10 ms apart: half of it times the square root of two, 7.07 ms."""
    assert spread_of([0.0, 10.0]).spread_ms == pytest.approx(7.0711, abs=1e-4)
