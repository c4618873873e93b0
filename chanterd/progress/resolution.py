"""How finely a span of days is shown: by day, by week or by month, so that no chart has more points than one can read.

Days are ISO text; a bucket is named by its first day. Weeks begin on Monday (ISO 8601).
"""

from datetime import date, timedelta
from enum import StrEnum

MOST_DAYS = 100
"""Up to a season, every day is a point."""
MOST_WEEKS_DAYS = 800
"""Up to two years, every week is."""


class Grain(StrEnum):
    """The span of one point of a chart."""

    DAY = "day"
    WEEK = "week"
    MONTH = "month"


def days_between(first: str, last: str) -> int:
    """How many days a span has, both ends included."""
    return (date.fromisoformat(last) - date.fromisoformat(first)).days + 1


def grain_of(first: str, last: str) -> Grain:
    """The finest resolution that one can read."""
    days = days_between(first, last)
    if days <= MOST_DAYS:
        return Grain.DAY
    return Grain.WEEK if days <= MOST_WEEKS_DAYS else Grain.MONTH


def bucket(day: str, grain: Grain) -> str:
    """The first day of the day, week or month that the day is in."""
    if grain is Grain.DAY:
        return day
    if grain is Grain.MONTH:
        return f"{day[:8]}01"
    at = date.fromisoformat(day)
    return (at - timedelta(days=at.weekday())).isoformat()
