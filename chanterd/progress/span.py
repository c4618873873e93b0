"""A span of days from words such as 2026-03-31."""

from datetime import date

from chanterd.config import ChanterdError
from chanterd.history.answers import Span


def span_from_words(first: str | None, last: str | None) -> Span:
    """Both ends checked; None is open. Raises ChanterdError if one is not a day, or they are the wrong way round."""
    span = Span(_day("from", first), _day("to", last))
    if span.first is not None and span.last is not None and span.first > span.last:
        raise ChanterdError(
            f"The days run from {span.first} to {span.last}; the first must not be after the last (did you swap them?)."
        )
    return span


def _day(end: str, words: str | None) -> str | None:
    if words is None:
        return None
    try:
        day = date.fromisoformat(words.strip())
    except ValueError as error:
        raise ChanterdError(
            f"The day '{end}' is '{words}'; it must be a day of the calendar as year-month-day, such as 2026-03-31."
        ) from error
    return day.isoformat()
