"""Days, weeks and months."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.progress.resolution import Grain, bucket, days_between, grain_of

DAYS = st.dates(date(1999, 1, 1), date(2040, 12, 31))


@pytest.mark.parametrize(
    ("first", "last", "grain"),
    [
        ("2026-03-31", "2026-03-31", Grain.DAY),
        ("2026-01-01", "2026-04-10", Grain.DAY),
        ("2026-01-01", "2026-04-11", Grain.WEEK),
        ("2025-04-01", "2026-03-31", Grain.WEEK),
        ("2016-04-01", "2026-03-31", Grain.MONTH),
    ],
)
def test_the_longer_the_span_the_coarser(first: str, last: str, grain: Grain) -> None:
    """A season by days, a year by weeks, ten years by months."""
    assert grain_of(first, last) is grain


def test_both_ends_of_a_span_count() -> None:
    """One day is one day; February has 29 in a leap year."""
    assert days_between("2026-03-31", "2026-03-31") == 1
    assert days_between("2028-02-01", "2028-03-01") == 30


def test_a_week_begins_on_monday_and_a_month_on_its_first_day() -> None:
    """ISO 8601; 2026-03-31 is a Tuesday."""
    assert bucket("2026-03-31", Grain.DAY) == "2026-03-31"
    assert bucket("2026-03-31", Grain.WEEK) == "2026-03-30"
    assert bucket("2026-03-31", Grain.MONTH) == "2026-03-01"


@given(DAYS)
def test_a_week_is_the_calendars_own(day: date) -> None:
    """Against the standard library's ISO calendar: the bucket is day 1 of the same ISO week."""
    first = date.fromisoformat(bucket(day.isoformat(), Grain.WEEK))
    assert first.isocalendar()[:2] == day.isocalendar()[:2]
    assert first.isocalendar()[2] == 1


@given(DAYS, st.integers(0, 4000), st.sampled_from(list(Grain)))
def test_buckets_keep_the_order_of_days(day: date, later: int, grain: Grain) -> None:
    """A later day is never in an earlier bucket."""
    assert bucket(day.isoformat(), grain) <= bucket((day + timedelta(days=later)).isoformat(), grain)
