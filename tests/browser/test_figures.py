"""The figures of a run and the words for them."""

import random

import pytest
from scipy.stats import median_abs_deviation

from tests.browser import scene
from tests.browser.conftest import Inside


def test_spread_is_the_robust_standard_deviation(inside: Inside) -> None:
    """The page's spread equals SciPy's median_abs_deviation(scale="normal")."""
    dice = random.Random(3)  # noqa: S311
    for count in (3, 4, 11, 12):
        values = [dice.gauss(3, 9) for _ in range(count)]
        found = inside("practise/figures.js", "(m, values) => m.spread(values)", values)
        assert found == pytest.approx(median_abs_deviation(values, scale="normal"))


def test_one_stumble_does_not_make_a_habit(inside: Inside) -> None:
    """A single rep that is 300 ms late moves neither figure much; two reps are too few for any."""
    asked = scene.asked(scene.DRILLS[0])
    reps = [scene.rep(asked, 60, index, late_ms=8, noise_ms=3) for index in range(12)]
    reps[4]["anchor_ms"] = 300.0
    told = inside("practise/figures.js", "(m, reps) => m.placement(reps)", reps)
    assert told["middle"] == pytest.approx(8, abs=4)
    assert told["spread"] < 8
    assert inside("practise/figures.js", "(m, reps) => m.placement(reps)", reps[:2]) is None


def test_lengths_are_of_the_notes_that_carry_the_shape(inside: Inside) -> None:
    """Held notes where there are any, else the quick ones; the theme note never."""
    grip, gracenote = scene.asked(scene.DRILLS[0]), scene.asked(scene.DRILLS[5])
    for asked, kind in ((grip, "held"), (gracenote, "quick")):
        reps = [scene.rep(asked, 60, index, noise_ms=1) for index in range(5)]
        told = inside("practise/figures.js", "(m, reps) => m.lengths(reps)", reps)
        assert told["kind"] == kind
        assert told["middle"] == pytest.approx(62 if kind == "held" else 34, abs=4)


@pytest.mark.parametrize(
    ("deviation_ms", "word"),
    [(0, "on"), (5.4, "on"), (5.6, "late"), (6, "late"), (-5.4, "on"), (-6, "early"), (-30, "early")],
)
def test_the_side_is_told_from_six_ms_on(inside: Inside, deviation_ms: float, word: str) -> None:
    """Below 6 ms a shift is not heard (Friberg & Sundberg 1995, JASA 98:2524, intervals under 240 ms): "on"."""
    assert inside("ui/words.js", "(m, ms) => m.side(ms)", deviation_ms) == word


def test_drills_are_found_by_the_beginnings_of_their_words(inside: Inside) -> None:
    """Words may be left out, shortened, hyphenated and in capitals, in any order."""
    drills = [{"drill": drill.words} for drill in scene.DRILLS]
    body = "(m, drills, typed) => m.matching(drills, typed).map((one) => one.drill)"
    assert inside("practise/chooser.js", body, drills, "GRIP-from c") == ["grip from B to C"]
    assert inside("practise/chooser.js", body, drills, "low-a taor") == ["taorluath from C to low A"]
    assert len(inside("practise/chooser.js", body, drills, "")) == len(drills)
    assert inside("practise/chooser.js", body, drills, "crunluath") == []
