"""The book from its files: what ships, a teacher's own over it, and all mistakes of all files at once."""

from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.music.book import read_book, standard_book
from chanterd.music.drill import all_drills, drill_from_words
from chanterd.music.note import Note
from chanterd.table_file import table_files
from tests.music.ornament_tables import FAMILY, TAP, book, mistakes

FLICK = """
chapter = "Mine"
[[ornament]]
name = "high flick"
how = "A high A and a high G, alike, on the beat."
beat = "step 1"
[[ornament.spelled]]
themes = ["E"]
steps = ["a quick", "T held", "g quick"]
"""
BEAT = '[[ornament]]\nname = "throw on D"\nbeat = "step 1"\n'
EXPECTED = """
G gracenote, D gracenote, E gracenote, thumb gracenote,
doubling, thumb doubling, half doubling,
throw on D, heavy throw on D, half throw on D, half heavy throw on D,
grip, G gracenote grip, half grip, taorluath, bubbly note,
birl, G gracenote birl, thumb birl, double birl, triple tap birl,
strike, G gracenote strike, thumb strike, half strike,
double strike, G gracenote double strike, thumb double strike, half double strike,
triple strike, G gracenote triple strike, thumb triple strike, half triple strike,
shake, thumb shake, half shake, G-D-E run,
edre, dare, darodo, crunluath, crunluath a mach
"""


def test_the_book_holds_what_a_chanter_player_learns() -> None:
    """From single gracenotes to the great music (common practice, no source)."""
    expected = EXPECTED.replace("\n", " ").replace("  ", " ").strip().split(", ")
    assert [name for name in expected if standard_book().get(name) is None] == []


def test_the_book_is_in_the_order_in_which_it_is_taught() -> None:
    """Chapter by chapter: plain changes and gracenotes first, the great music last."""
    chapters = list(dict.fromkeys(ornament.chapter for ornament in standard_book().ornaments))
    assert chapters[:2] == ["Plain changes", "Gracenotes"]
    assert chapters[-1] == "The great music"
    assert len(chapters) == 10


def test_a_teacher_adds_an_ornament(tmp_path: Path) -> None:
    """It is chosen like any other, after all that ship, in a chapter of its own."""
    (tmp_path / "ornaments.toml").write_text(FLICK)
    own = read_book(tmp_path)
    assert len(own.ornaments) == len(standard_book().ornaments) + 1
    assert own.ornaments[-1].chapter == "Mine"
    drill = drill_from_words("high flick from low A", own)
    assert [step.note for step in drill.steps] == [Note.HIGH_A, Note.E, Note.HIGH_G, Note.E]
    assert drill in list(all_drills(own))


def test_a_teacher_changes_only_what_is_to_be_different(tmp_path: Path) -> None:
    """The beat of the throw moves to its first low G; its spelling, its names and its place in the book stay."""
    (tmp_path / "ornaments").mkdir()
    (tmp_path / "ornaments" / "beats.toml").write_text(BEAT)
    own, shipped = read_book(tmp_path).find("D throw"), standard_book().find("D throw")
    assert (own.beat, shipped.beat) == (0, 1)
    assert (own.spellings, own.how, own.chapter) == (shipped.spellings, shipped.how, shipped.chapter)
    names = [ornament.name for ornament in read_book(tmp_path).ornaments]
    assert names == [ornament.name for ornament in standard_book().ornaments]


def test_a_change_to_a_family_reaches_its_forms(tmp_path: Path) -> None:
    """But not what the form says itself; and a form can be changed alone."""
    change = '[[ornament]]\nname = "opened"\ndisputed = "All agree."\nhow = "Otherwise."\n'
    found = book(tmp_path, FAMILY, change)
    assert found.find("half opened").disputed == "All agree."
    assert found.find("half opened").how == "The note on the beat, then a tap."
    alone = book(tmp_path, FAMILY, '[[ornament]]\nname = "half opened"\nhow = "Otherwise."\n')
    assert alone.find("half opened").how == "Otherwise."
    assert alone.find("opened").how == "A G gracenote on the beat, then a tap."


def test_a_teacher_adds_a_form(tmp_path: Path) -> None:
    """To a family that ships, and changes one by its name."""
    change = """[[ornament]]
name = "opened"
[[ornament.form]]
name = "thumb opened"
opening = "high A"
how = "A thumb gracenote on the beat, then a tap."
[[ornament.form]]
name = "half opened"
how = "Otherwise."
"""
    found = book(tmp_path, FAMILY, change)
    assert [ornament.name for ornament in found.ornaments] == ["opened", "half opened", "thumb opened"]
    assert found.find("half opened").how == "Otherwise."


def test_a_teacher_s_taps_change_every_ornament_that_taps(tmp_path: Path) -> None:
    """One line makes every strike on D a light one."""
    (tmp_path / "ornaments.toml").write_text('[taps]\n"D" = "C"\n')
    own = read_book(tmp_path)
    assert drill_from_words("triple strike from E to D", own).steps[0].note is Note.C
    assert drill_from_words("strike from E to C", own).steps[0].note is Note.LOW_G


def test_later_files_change_earlier_ones(tmp_path: Path) -> None:
    """Own files are read in the order of their names, ornaments.toml first."""
    (tmp_path / "ornaments").mkdir()
    for name in ("ornaments/b.toml", "ornaments/a.toml", "ornaments.toml", "other.toml"):
        (tmp_path / name).touch()
    own = [file.name for file in table_files("ornaments", tmp_path, []) if file.own]
    assert own == [
        "ornaments.toml",
        "ornaments/a.toml",
        "ornaments/b.toml",
    ]
    change = '[[ornament]]\nname = "tapped"\nhow = "{}."\n'
    found = book(tmp_path, FAMILY + TAP, change.format("First"), change.format("Second"))
    assert found.find("tapped").how == "Second."


def test_without_own_files_the_book_is_the_one_that_ships(tmp_path: Path) -> None:
    """An empty data folder, or none at all."""
    assert read_book(tmp_path / "none").ornaments == read_book().ornaments == standard_book().ornaments


def test_all_mistakes_of_all_files_are_reported_at_once(tmp_path: Path) -> None:
    """Each with the file it is in: one that is no TOML, one with a key that is not known, one with a wrong beat."""
    (tmp_path / "ornaments.toml").write_text("[[ornament]\n")
    (tmp_path / "ornaments").mkdir()
    (tmp_path / "ornaments" / "keys.toml").write_text(BEAT.replace("beat", "baet"))
    (tmp_path / "ornaments" / "taorluath.toml").write_text(BEAT.replace("throw on D", "taorluath").replace("1", "9"))
    with pytest.raises(ConfigError) as error:
        read_book(tmp_path)
    lines = str(error.value).splitlines()
    assert len(lines) == 3
    assert "ornaments.toml: is not valid TOML" in lines[0]
    assert lines[1].startswith(
        "ornaments/keys.toml: ornament (throw on D): 'baet' is not known here. Did you mean 'beat'?"
    )
    assert lines[2].startswith(
        "ornaments/taorluath.toml: ornament (taorluath): 'beat' is 'step 9'; it must be 'theme' or 'step 1'"
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[ornaments]]\n", "shipped.toml: file: 'ornaments' is not known here. Did you mean 'ornament'?"),
        (
            "[ornament]\n",
            "shipped.toml: file: 'ornament' is no list of tables; begin each with a line [[",
        ),
        ("[[ornament]]\n", "shipped.toml: ornament 1: 'name' is missing; it must be a text in quotes."),
        ("chapter = 3\n", "shipped.toml: file: 'chapter' is 3; it must be a text in quotes."),
        (
            TAP + "[ornament.form]\n",
            "'ornament.form' is no list of tables; begin each with a line [[",
        ),
        (TAP + TAP, "the name 'tapped' belongs to the tapped already; names must differ."),
    ],
)
def test_a_file_that_is_no_table_is_reported(tmp_path: Path, text: str, said: str) -> None:
    """What is wrong and how it is meant to be written."""
    assert said in "\n".join(mistakes(tmp_path, text))
