"""What somebody meant by a name."""

import pytest

from chanterd.config import ChanterdError
from chanterd.music.book import standard_book
from chanterd.music.names import as_compared, find_named, nearest
from chanterd.music.note import Note


@pytest.mark.parametrize(
    ("words", "name", "theme"),
    [
        ("throw on D", "throw on D", None),
        ("birl on low A", "birl", Note.LOW_A),
        ("high G doubling", "doubling", Note.HIGH_G),
        ("C toarluath", "taorluath", Note.C),
        ("t\u00f2rluath", "taorluath", None),
    ],
)
def test_a_name_is_read_with_its_melody_note(words: str, name: str, theme: Note | None) -> None:
    """Before the name or behind it; an ornament that is called so goes first."""
    found, on = find_named(words, standard_book())
    assert (found.name, on) == (name, theme)


def test_a_short_name_is_not_guessed_at() -> None:
    """'gripp' may be a grip; whoever types it is asked, with the three nearest."""
    with pytest.raises(ChanterdError, match="Did you mean 'grip'"):
        find_named("gripp", standard_book())
    assert nearest("gripp", standard_book())[0] == "grip"
    assert len(nearest("zzzz", standard_book())) == 3


def test_names_are_compared_without_their_dress() -> None:
    """Capitals, accents, hyphens, blanks and plurals do not count."""
    assert as_compared("G-Grace Notes") == as_compared("g gracenote")
