"""Days from outside."""

import pytest

from chanterd.config import ChanterdError
from chanterd.history.answers import Span
from chanterd.progress.span import span_from_words


def test_both_ends_may_be_left_open() -> None:
    """From the first day, until now."""
    assert span_from_words(None, None) == Span()
    assert span_from_words(" 2026-03-01 ", None) == Span("2026-03-01")


def test_what_is_no_day_is_refused_with_an_example() -> None:
    """The field, the value, what is allowed."""
    with pytest.raises(ChanterdError, match=r"'from' is '31/3/2026'; it must be .* such as 2026-03-31\.") as refused:
        span_from_words("31/3/2026", None)
    assert "\n" not in str(refused.value)
    with pytest.raises(ChanterdError, match="'to' is '2026-02-30'"):
        span_from_words(None, "2026-02-30")


def test_swapped_days_are_seen() -> None:
    """The likely mend is said."""
    with pytest.raises(ChanterdError, match=r"did you swap them\?"):
        span_from_words("2026-03-31", "2026-03-01")


def test_a_span_may_be_a_single_day() -> None:
    """From and to the same day; ISO 8601 without hyphens is the same day, kept with them."""
    assert span_from_words("2026-03-01", "2026-03-01") == Span("2026-03-01", "2026-03-01")
    assert span_from_words("20260301", None) == Span("2026-03-01")
