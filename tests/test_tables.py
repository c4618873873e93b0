"""The tables that playing is judged by."""

from pathlib import Path

import pytest

from chanterd.config import ConfigError
from chanterd.tables import read_tables
from tests.test_practice_tables import OWN


def test_a_broken_plan_does_not_keep_a_take_from_being_judged(tmp_path: Path) -> None:
    """Nothing is judged by it; whoever practises hears of it."""
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "mine.toml").write_text("[[part")
    (tmp_path / "proposal.toml").write_text("[new")
    assert "steady" in read_tables(tmp_path).standards


def test_all_mistakes_in_all_of_them_are_said_at_once(tmp_path: Path) -> None:
    """Each with its file."""
    names = [name for name in OWN if name not in {"plans/mine.toml", "proposal.toml"}]
    for name in names:
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("[[")
    with pytest.raises(ConfigError) as error:
        read_tables(tmp_path)
    lines = str(error.value).splitlines()
    assert len(lines) == len(names)
    assert all(any(name in line for line in lines) for name in names)
