"""Words and boxes on a page."""

import pytest

from chanterd.engraving.marks import MM_PER_POINT, Type, box, moved, text


def test_an_inch_of_type_is_an_inch() -> None:
    """72 points are 25.4 mm (PDF 1.7, 8.3.2.3: a default unit is 1/72 inch)."""
    assert pytest.approx(25.4) == 72 * MM_PER_POINT
    assert text(0, 0, "x", Type(72)).get("font-size") == "25.400"


def test_words_are_as_wide_as_the_font_says() -> None:
    """A Times digit is half its size wide, which the font's published metrics give as 500 (from memory)."""
    assert Type(10).width("0") == pytest.approx(5 * MM_PER_POINT)
    assert Type(10, "Times-Bold").width("0000") == pytest.approx(20 * MM_PER_POINT)


def test_long_words_are_split_to_fit() -> None:
    """Every line fits, and no word is lost."""
    spelled, style = "low G, D, low G, E, low A, F, low A, then E on the beat", Type(10)
    lines = style.split(spelled, 40)
    assert len(lines) > 1
    assert all(style.width(line) <= 40 for line in lines)
    assert " ".join(lines) == spelled


def test_a_box_sits_on_its_line() -> None:
    """Its lower edge is where it was asked to be."""
    square = box(10, 20, 3.4)
    assert float(square.get("y", "")) + float(square.get("height", "")) == pytest.approx(20)
    assert square.get("fill") == "none"


def test_bold_and_italic_are_said_in_the_words_of_svg() -> None:
    """So that a browser shows what the PDF prints."""
    assert text(0, 0, "x", Type(9, "Times-Bold")).get("font-weight") == "bold"
    assert text(0, 0, "x", Type(9, "Times-Italic")).get("font-style") == "italic"


def test_a_group_is_moved_and_sized() -> None:
    """Its size is left out where it does not change."""
    assert moved(1, 2, []).get("transform") == "translate(1.00 2.00)"
    assert moved(1, 2, [], 0.5).get("transform") == "translate(1.00 2.00) scale(0.500000)"
