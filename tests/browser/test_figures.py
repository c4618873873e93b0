"""The figures of a run and the words for them."""

import random

import pytest
from scipy.stats import median_abs_deviation

from tests.browser import scene
from tests.browser.conftest import Inside


def test_scatter_is_the_robust_standard_deviation(inside: Inside) -> None:
    """The page's scatter equals SciPy's median_abs_deviation(scale="normal")."""
    dice = random.Random(3)  # noqa: S311
    for count in (3, 4, 11, 12):
        values = [dice.gauss(3, 9) for _ in range(count)]
        found = inside("practise/figures.js", "(m, values) => m.scatter(values)", values)
        assert found == pytest.approx(median_abs_deviation(values, scale="normal"))


def test_one_stumble_does_not_make_a_habit(inside: Inside) -> None:
    """A single rep that is 300 ms late moves neither figure much; two reps are too few for any."""
    asked = scene.asked(scene.DRILLS[0])
    reps = [scene.rep(asked, 60, index, late_ms=8, noise_ms=3) for index in range(12)]
    reps[4]["anchor_ms"] = 300.0
    told = inside("practise/figures.js", "(m, reps) => m.placement(reps)", reps)
    assert told["middle"] == pytest.approx(8, abs=4)
    assert told["scatter"] < 8
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
    ("deviation_ms", "limit_ms", "word"),
    [(0, 40, "on"), (40, 40, "on"), (40.1, 40, "late"), (-40, 40, "on"), (-40.1, 40, "early"), (30, 25, "late")],
)
def test_one_limit_says_what_is_early_or_late(inside: Inside, deviation_ms: float, limit_ms: float, word: str) -> None:
    """Up to the limit that the daemon sends with the run a step is on the beat; beyond it, it is early or late."""
    assert inside("ui/words.js", "(m, ...of) => m.side(...of)", deviation_ms, limit_ms) == word


def test_drills_are_found_by_the_beginnings_of_their_words(inside: Inside) -> None:
    """Words may be left out, shortened, hyphenated and in capitals, in any order."""
    drills = [{"drill": drill.words} for drill in scene.DRILLS]
    body = "(m, drills, typed) => m.matching(drills, typed).map((one) => one.drill)"
    assert inside("practise/chooser.js", body, drills, "GRIP-from c") == ["grip from B to C"]
    assert inside("practise/chooser.js", body, drills, "low-a taor") == ["taorluath from C to low A"]
    assert len(inside("practise/chooser.js", body, drills, "")) == len(drills)
    assert inside("practise/chooser.js", body, drills, "crunluath") == []
