"""What a tune is made of."""

from fractions import Fraction

import pytest

from chanterd.music.tunes.tune import Meter


@pytest.mark.parametrize(("beats", "unit", "bar"), [(2, 4, "1/2"), (6, 8, "3/4"), (12, 8, "3/2"), (3, 8, "3/8")])
def test_how_long_a_bar_is(beats: int, unit: int, bar: str) -> None:
    """As a fraction of a whole note."""
    assert Meter(beats, unit).bar == Fraction(bar)
