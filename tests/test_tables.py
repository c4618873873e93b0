"""All tables a teacher may change are read at once."""

from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.tables import read_tables


def test_what_ships_is_whole(tmp_path: Path) -> None:
    """With an empty data folder there is a book, and of everything else something to choose."""
    tables = read_tables(tmp_path)
    assert tables.book.find("grip").name == "grip"
    assert {"learner", "steady", "competition"} <= {*tables.standards}
    assert "written pitch" in tables.profiles
    assert "two clicks" in tables.layouts
    assert "present day" in tables.tunings
    assert "strathspey" in tables.paces
    assert "lighthouse-class" in tables.plans
    assert "after five" in tables.schedules


def test_mistakes_in_different_tables_are_told_together(tmp_path: Path) -> None:
    """A wrong layout, tuning, schedule of feedback, standard and ornament: five files named in one go."""
    for name in ("layouts.toml", "tunings.toml", "feedback.toml", "standards/mine.toml", "ornaments/mine.toml"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text("wrong = 1\n")
    with pytest.raises(ConfigError) as told:
        read_tables(tmp_path)
    assert {line.split(":")[0] for line in str(told.value).splitlines()} == {
        "layouts.toml",
        "tunings.toml",
        "feedback.toml",
        "mine.toml",
    }
