"""A limit is the larger of its milliseconds and its share."""

import pytest

from chanterd.judging.limit import HEARD, Limit
from chanterd.music.units import NS_PER_MS, Ms


def test_the_larger_of_the_two_counts() -> None:
    """A tenth of 500 ms is more than 40 ms, a tenth of 300 ms is less."""
    limit = Limit(Ms(40.0), 0.1)
    assert limit.of(500 * NS_PER_MS) == 50 * NS_PER_MS
    assert limit.of(300 * NS_PER_MS) == 40 * NS_PER_MS


@pytest.mark.parametrize(
    ("interval_ms", "heard_ms"),
    [(100, 6), (200, 6), (240, 6), (300, 7.5), (400, 10), (500, 12.5), (750, 18.75), (1000, 25)],
)
def test_what_can_be_heard_is_as_published(interval_ms: float, heard_ms: float) -> None:
    """Friberg and Sundberg 1995, JASA 98:2524: 6 ms below 240 ms between onsets, 2.5 % above."""
    assert HEARD.of(interval_ms * NS_PER_MS) == pytest.approx(heard_ms * NS_PER_MS)
