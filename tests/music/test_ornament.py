"""What an ornament and a spelling are, and how the book is searched. Facts of the trade: common practice, no source."""

from dataclasses import replace

import pytest

from chanterd.config import ChanterdError
from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.ornament import Book, Kind, Motion, SpelledStep, Spelling, plain

NOTES = frozenset(Note)
G_T_D = (SpelledStep(Note.HIGH_G, Kind.QUICK), SpelledStep(None, Kind.HELD), SpelledStep(Note.D, Kind.QUICK))


def test_a_spelling_takes_its_theme_note_from_where_it_is_played() -> None:
    """The same doubling is G, B, D on a B and G, C, D on a C."""
    spelling = Spelling(NOTES, NOTES, "any", G_T_D)
    assert spelling.on(Note.B) == (Note.HIGH_G, Note.B, Note.D, Note.B)
    assert spelling.on(Note.C) == (Note.HIGH_G, Note.C, Note.D, Note.C)
    assert spelling.kinds == (Kind.QUICK, Kind.HELD, Kind.QUICK)


@pytest.mark.parametrize(
    ("motion", "down", "level", "up"),
    [("any", True, True, True), ("level", False, True, False), ("level or up", False, True, True)],
)
def test_motion_says_which_way_the_melody_may_go(motion: Motion, *, down: bool, level: bool, up: bool) -> None:
    """Level is from a note to itself; up is to a higher one."""
    spelling = Spelling(NOTES, NOTES, motion, G_T_D)
    assert spelling.serves(Note.C, Note.B) is down
    assert spelling.serves(Note.B, Note.B) is level
    assert spelling.serves(Note.B, Note.C) is up


def test_a_spelling_serves_only_its_own_notes() -> None:
    """Neither another theme nor another lead."""
    spelling = Spelling(frozenset({Note.B}), frozenset({Note.C}), "any", G_T_D)
    assert spelling.serves(Note.C, Note.B)
    assert not spelling.serves(Note.C, Note.D)
    assert not spelling.serves(Note.D, Note.B)


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("grip", "grip"),
        ("LEUMLUATH", "grip"),
        ("Light Throw on D", "throw on D"),
        ("g-gracenote   birl", "G gracenote birl"),
        ("darodo", "bubbly note"),
        ("hiharin", "D gracenote birl"),
        ("pele", "shake"),
        ("catch", "G gracenote grip"),
        ("G D E run", "G-D-E run"),
    ],
)
def test_an_ornament_is_found_by_any_of_its_names(asked: str, found: str) -> None:
    """Case, hyphens and extra blanks are ignored."""
    assert standard_book().find(asked).name == found


def test_a_misspelled_name_is_guessed_at() -> None:
    """One sentence and a guess, not a list of everything in the book."""
    with pytest.raises(ChanterdError) as error:
        standard_book().find("taorluth")
    assert str(error.value) == "'taorluth' is not an ornament in the book. Did you mean 'taorluath'?"


def test_where_no_guess_is_near_the_names_are_listed() -> None:
    """A word that is like none of them is answered with all of them."""
    with pytest.raises(ChanterdError, match=r"Known are: grip\.") as error:
        Book([standard_book().find("grip")]).find("mordent")
    assert "Did you mean" not in str(error.value)


def test_words_are_compared_without_case_hyphens_and_extra_blanks() -> None:
    """As people type them."""
    assert plain("  Low-G  TAP ") == "low g tap"


def test_names_are_the_trade_s_own_words() -> None:
    """No name is a shorthand code: each is made of words and of the letters of notes."""
    words = {word for one in standard_book().ornaments for name in one.names for word in plain(name).split()}
    short = {word for word in words if len(word) < 3}
    assert short <= {*"abcdefg", "on", "a", "by", "in"}
    assert not any(any(letter.isdigit() for letter in word) for word in words)


@pytest.mark.parametrize("name", [ornament.name for ornament in standard_book().ornaments])
def test_every_ornament_says_how_it_should_sound(name: str) -> None:
    """One sentence that ends like one, and a chapter to find it in."""
    ornament = standard_book().find(name)
    assert ornament.chapter
    for said in (ornament.how, ornament.disputed):
        assert not said or (said[0].isupper() and said.endswith("."))
    assert len(ornament.how.split()) >= 5


def test_what_takes_the_place_of_an_ornament_names_no_others_in_turn() -> None:
    """Otherwise a thumb doubling and a doubling would hold each other without end."""
    assert [other.name for other in standard_book().find("doubling").instead] == ["thumb doubling", "half doubling"]
    assert all(not other.instead for one in standard_book().ornaments for other in one.instead)


def test_an_ornament_with_its_beat_elsewhere_is_another_one_of_the_same_name() -> None:
    """Each has its own place in a table, although they are looked up by their name."""
    ornament = standard_book().find("grip")
    other = replace(ornament, beat=0 if ornament.beat != 0 else 1)
    table = {ornament: "the book's", other: "the school's"}
    assert (table[ornament], table[other], table[replace(ornament)]) == ("the book's", "the school's", "the book's")
