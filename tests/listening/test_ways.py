"""The book by sound."""

from chanterd.listening.ways import NO_NOTE, sounds_of
from chanterd.music.book import standard_book


def names(heard: str) -> set[str | None]:
    """The whole ways that sound so."""
    found = sounds_of(standard_book()).whole.get(heard, [])
    return {one.way.words for one in found if not one.missing and not one.wrong}


def test_a_step_that_the_note_before_sounds_already_is_not_heard() -> None:
    """A throw from low G has no first low G of its own (common practice, no source)."""
    assert "throw on D from low G" in names("Gdcd")


def test_a_melted_theme_note_is_the_last_letter() -> None:
    """A grip to low G ends with the low G that carries it."""
    assert "grip from low G to low G" in names("GdG")


def test_a_missing_step_lets_its_neighbours_melt() -> None:
    """A grip without its D is one low G."""
    found = [one for one in sounds_of(standard_book()).whole["BGc"] if one.way.words == "grip from B to C"]
    assert [one.missing for one in found] == [True]


def test_after_a_silence_a_spelling_is_heard_in_full() -> None:
    """There is no note before, and no drill."""
    found = sounds_of(standard_book()).whole[f"{NO_NOTE}GdGeA"]
    assert {(one.way.ornament.name, one.way.words) for one in found if not one.missing} == {("taorluath", None)}
