"""Figures in words."""

import pytest

from chanterd.history.answers import Way, Weakness
from chanterd.progress.words import clicks, count, lowered, place, span_words, time_words, weak_words


@pytest.mark.parametrize(
    ("bias_ms", "words"),
    [(0.0, "on the beat"), (40.0, "on the beat"), (40.6, "41 ms late"), (-40.5, "40 ms early"), (-48.2, "48 ms early")],
)
def test_plus_is_late_and_up_to_the_limit_it_is_on_the_beat(bias_ms: float, words: str) -> None:
    """As the page's side() has it: the limit itself is on the beat."""
    assert place(bias_ms, 40.0) == words


@pytest.mark.parametrize(
    ("minutes", "words"), [(0.4, "0 min"), (25, "25 min"), (59.6, "1 h"), (60, "1 h"), (400.2, "6 h 40 min")]
)
def test_a_length_of_time(minutes: float, words: str) -> None:
    """Hours once there is one."""
    assert time_words(minutes) == words


def test_a_span_says_the_year_once() -> None:
    """Unless it goes over the turn of the year."""
    assert span_words("2026-03-01", "2026-03-31") == "1 March to 31 March 2026"
    assert span_words("2025-12-31", "2026-03-31") == "31 December 2025 to 31 March 2026"
    assert span_words("2026-03-31", "2026-03-31") == "31 March 2026"


def test_numbers_of_things_and_tempi() -> None:
    """One day, two days; no more decimals than a tempo needs."""
    assert [count(1, "day"), count(2, "day"), count(15824, "rep")] == ["1 day", "2 days", "15,824 reps"]
    assert [clicks(60.0), clicks(62.5)] == ["60", "62.5"]
    assert lowered("Throws on D") == "throws on D"


def test_a_weakness_is_a_reason_and_no_reproach() -> None:
    """How many were clean, where it usually falls, how much that varies; what is not known is left out."""
    way = Way("birl", "E", "low A")
    assert weak_words(Weakness(way, 20, 6, 3, "2026-03-31", 48.2, 9.6, 80.0), 40.0) == (
        "6 of 20 clean, usually 48 ms late, ± 10 ms."
    )
    assert weak_words(Weakness(way, 20, 6, 3, "2026-03-31", None, None, 80.0), 40.0) == "6 of 20 clean."
