"""Note values and beams."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chanterd.engraving.tune_values import beamed, values_of


@pytest.mark.parametrize(
    ("lasts", "drawn"),
    [
        ("1/4", [("quarter", 0)]),
        ("3/16", [("eighth", 1)]),
        ("7/16", [("quarter", 2)]),
        ("5/8", [("half", 0), ("eighth", 0)]),
        ("1/12", [("eighth", 0)]),
        ("1/20", [("16th", 0)]),
    ],
)
def test_a_length_is_drawn_with_the_fewest_notes(lasts: str, drawn: list[tuple[str, int]]) -> None:
    """Dots before ties; a note of a tuplet is drawn as the plain note that it stands for."""
    assert [(one.type, one.dots) for one in values_of(Fraction(lasts))] == drawn


@given(st.integers(1, 256), st.sampled_from([1, 2, 4, 8, 16, 32, 64, 128, 12, 24, 48, 20, 40]))
def test_nothing_of_a_length_is_lost(parts: int, of: int) -> None:
    """What is drawn lasts as long together as the note does."""
    lasts = Fraction(parts, of)
    assert sum((one.lasts for one in values_of(lasts)), Fraction(0)) == lasts


@pytest.mark.parametrize(
    ("beams", "states"),
    [
        ([1, 1], [["begin"], ["end"]]),
        ([1, 2], [["begin"], ["end", "backward hook"]]),
        ([2, 1], [["begin", "forward hook"], ["end"]]),
        ([1, 2, 2], [["begin"], ["continue", "begin"], ["end", "end"]]),
    ],
)
def test_a_pointed_pair_has_a_hook_on_its_short_note(beams: list[int], states: list[list[str]]) -> None:
    """Which side it is on follows the neighbour (MusicXML 4.0, the values of "beam")."""
    assert list(beamed(beams)) == states
