"""Guessing: early, on the beat or late, held against the truth."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.units import NS_PER_MS
from chanterd.practice.feedback.guess import Guesses, Word, checked, truth, wrong_by_ns

WITHIN_NS = 25.0 * NS_PER_MS


@pytest.mark.parametrize(
    ("off_ms", "was"), [(-25.1, "early"), (-24.9, "on"), (0.0, "on"), (24.9, "on"), (25.1, "late")]
)
def test_on_the_beat_is_what_the_standard_calls_so(off_ms: float, was: Word) -> None:
    """Just inside its limit and just outside, to both sides."""
    assert truth(round(off_ms * NS_PER_MS), WITHIN_NS) == was


@pytest.mark.parametrize(
    ("word", "off_ms", "by_ms"),
    [("late", 40.0, 0.0), ("on", 40.0, 15.0), ("early", 40.0, 65.0), ("late", -40.0, 65.0), ("late", 10.0, 15.0)],
)
def test_a_wrong_guess_is_off_by_its_distance_from_being_right(word: Word, off_ms: float, by_ms: float) -> None:
    """To say early of a rep that was 40 ms late would have been right from -25 ms on: 65 ms off."""
    assert wrong_by_ns(word, round(off_ms * NS_PER_MS), WITHIN_NS) == pytest.approx(by_ms * NS_PER_MS)


def test_guesses_are_counted_and_said() -> None:
    """Two right, two wrong by 15 and 65 ms, the median of the wrong ones 40 ms."""
    guesses = Guesses()
    played: list[tuple[Word, float]] = [("late", 34.0), ("on", -4.0), ("on", 40.0), ("early", 40.0)]
    said = [guesses.add(word, round(off * NS_PER_MS), WITHIN_NS) for word, off in played]
    assert said == [
        "Right: 34 ms late.",
        "Right: on the beat.",
        "You said on the beat; it was 40 ms late.",
        "You said early; it was 40 ms late.",
    ]
    assert guesses.shown == {"said": 4, "right": 2, "wrong_by_ms": 40.0}
    assert guesses.sentence == "You were right 2 of 4 times. The others were out by 40 ms (median)."


def test_all_right_has_no_error_to_tell() -> None:
    """No median of nothing."""
    guesses = Guesses()
    guesses.add("on", 0, WITHIN_NS)
    assert guesses.shown["wrong_by_ms"] is None
    assert guesses.sentence == "You were right 1 of 1 times."


@pytest.mark.parametrize("word", ["EARLY", "soon", "", None, 1])
def test_anything_else_is_no_guess(word: object) -> None:
    """The sentence names the three words."""
    with pytest.raises(ChanterdError, match=r"'guess' is .*'early', 'on' \(on the beat\) or 'late'"):
        checked(word)
