"""Feedback schedules: what ships, and what a wrong table's error says."""

import re
from pathlib import Path

import pytest

from chanterd.config import ChanterdError, ConfigError, bundled
from chanterd.practice.feedback.schedule import find_schedule, read_schedules

SOURCE = r"[A-Z][a-z]+( and [A-Z]?[a-z]+)?,? (19|20)\d\d\b|\bJ [A-Z]|common practice, no source"
"""An author and a year, a journal, or that there is none."""


def test_without_a_name_every_rep_is_shown() -> None:
    """The first of the table keeps nothing back; all the others do."""
    first, *others = read_schedules().values()
    assert find_schedule(None, read_schedules()) == first
    assert first.shows_all
    assert not any(one.shows_all for one in others)


def test_the_schedules_that_were_studied_are_there() -> None:
    """One of two (Park, Shea and Wright 2000), 5 and 15 (summary feedback), 15 % (Cruz and others 2018), say first."""
    found = read_schedules()
    assert found["every other"].one_of == 2
    assert (found["after five"].together, found["after fifteen"].together) == (5, 15)
    assert found["outside the band"].outside_percent == 15
    assert found["say first"].say_first


def test_every_figure_names_its_source() -> None:
    """In the shipped table the comment beside each row's own figure names a publication and its year, or a journal."""
    lines = (bundled("configs") / "feedback.toml").read_text(encoding="utf-8").splitlines()
    figures = [line for line in lines if line.startswith(("one_of", "together", "outside_percent", "say_first"))]
    assert len(figures) == 5
    for line in figures:
        assert re.search(SOURCE, line.partition("#")[2]), line


def test_a_misspelt_schedule_is_guessed() -> None:
    """One sentence with the schedules there are."""
    with pytest.raises(ChanterdError, match=r"'after fife' is not known\. Did you mean 'after five'\?"):
        find_schedule("after fife", read_schedules())


def test_a_teachers_own_schedule_is_added(tmp_path: Path) -> None:
    """Ten at a time, beside those that ship."""
    (tmp_path / "feedback.toml").write_text('[[feedback]]\nname = "tens"\nsaid = "Ten."\ntogether = 10\n')
    found = read_schedules(tmp_path)
    assert found["tens"].together == 10
    assert "every rep" in found


def test_all_mistakes_in_a_teachers_schedules_are_reported_at_once(tmp_path: Path) -> None:
    """Two choices in one row, half a rep, a band of nothing, and a misspelt key."""
    (tmp_path / "feedback.toml").write_text(
        '[[feedback]]\nname = "a"\nsaid = "A."\none_of = 2\ntogether = 5\n'
        '[[feedback]]\nname = "b"\nsaid = "B."\ntogether = 2.5\n'
        '[[feedback]]\nname = "c"\nsaid = "C."\noutside_percent = 0\n'
        '[[feedback]]\nname = "d"\nsaid = "D."\nsay_fist = true\n'
    )
    with pytest.raises(ConfigError) as raised:
        read_schedules(tmp_path)
    said = str(raised.value)
    assert "feedback 1: 'one_of' and 'together' are both there; choose one of them." in said
    assert "feedback 2: 'together' is 2.5; it must be a whole number from 1 to 50." in said
    assert "feedback 3: 'outside_percent' is 0; it must be a number from 1 to 100." in said
    assert "feedback 4: 'say_fist' is not known here. Did you mean 'say_first'?" in said
