"""Ordinal numbers as they are said."""

from chanterd.music.ordinal import ordinal


def test_the_first_few_are_said_in_words_and_the_rest_have_no_end() -> None:
    """However many steps alike a teacher writes in a row, each has a name."""
    assert [ordinal(index) for index in (0, 1, 7)] == ["first", "second", "eighth"]
    said = [ordinal(index) for index in (8, 10, 11, 12, 20, 21, 22, 110)]
    assert said == ["9th", "11th", "12th", "13th", "21st", "22nd", "23rd", "111th"]
