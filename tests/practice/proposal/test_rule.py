"""The numbers of a proposal: what ships is sound, and what a teacher changes is checked and reported."""

from pathlib import Path

import pytest

from chanterd.config import ConfigError, bundled
from chanterd.music.book import standard_book
from chanterd.music.ornament import Book
from chanterd.practice.proposal.rule import read_proposal_rule, standard_proposal_rule
from chanterd.table_file import read_toml

FILE = "proposal.toml"
BOOK = standard_book()


def test_what_ships_begins_with_one_finger() -> None:
    """Gracenotes come before doublings, doublings before grips: common practice, no source."""
    names = [drill.ornament.name for drill in standard_proposal_rule().order]
    assert names.index("G gracenote") < names.index("doubling") < names.index("grip") < names.index("taorluath")


def test_a_teacher_changes_what_they_name_and_no_more(tmp_path: Path) -> None:
    """The rest stays as it ships."""
    (tmp_path / FILE).write_text('[lines]\nmost = 3\n[new]\norder = ["birl from E", "Birl from e"]\n')
    rule = read_proposal_rule(BOOK, tmp_path)
    assert rule.most == 3
    assert rule.weak_lines == standard_proposal_rule().weak_lines
    assert [drill.words for drill in rule.order] == ["birl from E"]


def test_what_ones_own_book_no_longer_has_is_left_out() -> None:
    """Of the order that ships; all of it is in the book that ships."""
    shipped = read_toml(bundled("configs") / FILE)["new"]["order"]
    assert [drill.words for drill in read_proposal_rule(BOOK).order] == shipped
    grips = Book(tuple(one for one in BOOK.ornaments if one.name == "grip"))
    assert {drill.ornament.name for drill in read_proposal_rule(grips).order} == {"grip"}


def test_every_mistake_is_reported_at_once(tmp_path: Path) -> None:
    """By the file's and the field's name, with the allowed range and a guess."""
    (tmp_path / FILE).write_text(
        '[lines]\nmots = 3\nmost = 0\n[judged]\nweak_below = 60\n[new]\norder = ["gripp from B to C"]\n[extra]\n'
    )
    with pytest.raises(ConfigError) as raised:
        read_proposal_rule(BOOK, tmp_path)
    lines = str(raised.value).splitlines()
    assert len(lines) == 5
    assert any("'mots' is not known here. Did you mean 'most'?" in line for line in lines)
    assert any("'most' is 0; it must be a whole number from 1 to 20" in line for line in lines)
    assert any("'weak_below' is 60; it must be a number from 0 to 1" in line for line in lines)
    assert any("new.order" in line and "grip" in line for line in lines)
    assert any("'extra' is not known here" in line for line in lines)
