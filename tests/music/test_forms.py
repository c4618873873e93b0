"""Forms of an ornament by rule: the opening gracenote is another one, or left out."""

from pathlib import Path

import pytest

from chanterd.music.book import standard_book
from chanterd.music.note import Note
from chanterd.music.ornament import Ornament
from tests.music.ornament_tables import FAMILY, book, mistakes


def letters(ornament: Ornament, theme: Note) -> set[str]:
    """How it is spelled on a theme note, in ABC letters."""
    return {
        " ".join(note.abc for note in spelling.on(theme)) for spelling in ornament.spellings if theme in spelling.themes
    }


@pytest.mark.parametrize(
    ("name", "spelled"),
    [("doubling", "g c d c"), ("thumb doubling", "a c d c"), ("half doubling", "c d c")],
)
def test_a_thumb_doubling_opens_with_high_a_and_a_half_one_with_nothing(name: str, spelled: str) -> None:
    """Else they are spelled as the doubling is (common practice, no source)."""
    assert letters(standard_book().find(name), Note.C) == {spelled}


def test_a_spelling_that_does_not_open_with_a_quick_step_has_no_forms() -> None:
    """A doubling on high A opens with the high A itself: there is no half doubling there."""
    assert letters(standard_book().find("doubling"), Note.HIGH_A) == {"a g a"}
    assert Note.HIGH_A not in standard_book().find("half doubling").themes


def test_a_form_may_have_spellings_of_its_own() -> None:
    """The doubling on high G has no G gracenote; the thumb doubling there has its high A (common practice)."""
    assert letters(standard_book().find("thumb doubling"), Note.HIGH_G) == {"a g f g"}


def test_a_form_has_from_its_family_what_it_does_not_say(tmp_path: Path) -> None:
    """Beat, dispute and chapter; not the other names, which are the family's."""
    half = book(tmp_path, FAMILY).find("half opened")
    assert (half.beat, half.disputed, half.chapter, half.also) == (0, "Some say otherwise.", "Test", ())
    assert letters(half, Note.C) == {"c G c"}


def test_members_of_a_family_take_each_other_s_place(tmp_path: Path) -> None:
    """Unless the row says what does."""
    found = book(tmp_path, FAMILY)
    assert [other.name for other in found.find("opened").instead] == ["half opened"]
    assert [other.name for other in found.find("half opened").instead] == ["opened"]
    said = book(tmp_path, FAMILY + "instead = []\n").find("half opened")
    assert said.instead == ()


@pytest.mark.parametrize(("beat", "of_form"), [("theme", None), ("step 1", 0), ("step 3", 1)])
def test_the_beat_moves_with_the_steps(tmp_path: Path, beat: str, of_form: int | None) -> None:
    """Without the first step the third is the second; a beat on the dropped gracenote is on what comes first now."""
    assert book(tmp_path, FAMILY.replace("step 1", beat)).find("half opened").beat == of_form


def test_a_form_is_not_listed_where_it_falls_silent(tmp_path: Path) -> None:
    """An F opening on an F cannot sound; the family has that note all the same, and no mistake is reported."""
    text = FAMILY.replace('themes = ["B", "C"]', 'themes = ["C", "F"]').replace('"B" =', '"F" =')
    found = book(tmp_path, text.replace('opening = "none"', 'opening = "F"'))
    assert found.find("opened").themes == (Note.C, Note.F)
    assert found.find("half opened").themes == (Note.C,)


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        ('opening = "nun"', "ornament (half opened): 'opening' must be a note or 'none'. 'nun' is not a note of"),
        ("opening = 3", "ornament (half opened): 'opening' is 3; it must be a note or 'none', in quotes."),
        ('opening = "none"\nopen = "g"', "ornament (half opened): 'open' is not known here."),
    ],
)
def test_a_mistake_in_a_form_is_reported(tmp_path: Path, bad: str, said: str) -> None:
    """With the name of the form."""
    assert said in "\n".join(mistakes(tmp_path, FAMILY.replace('opening = "none"', bad)))
