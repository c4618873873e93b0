"""The band of relative timing: one rep just inside and one just outside it."""

import pytest

from chanterd.judging.measure import StepMeasured
from chanterd.practice.feedback.band import farthest_off
from tests.judging.followed_reps import Rep

PERCENT = 15.0


def steps(words: str = "grip from B to C", bpm: float = 60.0, **off_ms: float) -> list[StepMeasured]:
    """A rep whose steps come late by so much: ``_1=4.0`` is the second step."""
    rep = Rep(words, bpm, off_ms={int(key[1:]): off for key, off in off_ms.items()}).measured()
    return [rep.lead, *rep.steps]


# A grip at 60 is timed as low G 60 ms, D 40 ms, low G 60 ms: 160 ms in all.


@pytest.mark.parametrize(("late_ms", "step"), [(8.9, None), (9.1, 0), (-8.9, None), (-9.1, 0)])
def test_a_share_may_be_off_by_fifteen_percent(late_ms: float, step: int | None) -> None:
    """The first low G may take 60 ± 9 ms of 160; the end of the ornament stays where it was.

    At a slower tempo the steps are longer, and 15 % of them more than what can be heard.
    """
    found = farthest_off(steps(_1=late_ms, _2=late_ms), PERCENT)
    assert (found and found.step) == step
    if found:
        assert found.percent == pytest.approx(100 * late_ms / 60, abs=0.1)
        assert found.length_ns == round((60 + late_ms) * 1e6)


def test_a_tighter_or_a_more_open_hand_has_the_same_shares() -> None:
    """All steps a third longer, or a third shorter: the shape is as asked, and nothing is outside."""
    for wider in (1 / 3, -1 / 3):
        opened = steps(_0=-160 * wider, _1=-100 * wider, _2=-60 * wider)
        assert farthest_off(opened, PERCENT) is None


def test_nothing_under_six_ms_is_outside() -> None:
    """At 200 clicks the D is so short that 15 % cannot be heard: 6 ms is the least (Friberg and Sundberg 1995)."""
    assert farthest_off(steps(bpm=200.0, _2=5.9), PERCENT) is None
    found = farthest_off(steps(bpm=200.0, _2=6.1), PERCENT)
    assert found is not None
    assert found.step == 1


def test_a_gracenote_of_its_own_is_held_against_its_length() -> None:
    """It has no shares: 15 % of its asked length, or 6 ms if that is more."""
    asked = steps("G gracenote from C to low A")[1]
    assert asked.length_ns is not None
    limit = max(0.15 * asked.length_ns / 1e6, 6.0)
    assert farthest_off(steps("G gracenote from C to low A", _1=limit - 0.1), PERCENT) is None
    found = farthest_off(steps("G gracenote from C to low A", _1=limit + 0.1), PERCENT)
    assert found is not None
    assert (found.step, found.percent > 0) == (0, True)


def test_the_whole_ornament_late_is_no_matter_of_shape() -> None:
    """Everything 80 ms late is judged by the standard, not by the band."""
    assert farthest_off(steps(_0=80.0, _1=80.0, _2=80.0, _3=80.0), PERCENT) is None
