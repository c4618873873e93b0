"""A passage of a tune, in words and resolved."""

from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.practice.passage.asked import TuneWords, tune_asked
from chanterd.tables import read_tables
from tests.bench.tune_performances import shipped


def test_what_is_left_out_is_the_whole_tune_by_the_usual_standard(tmp_path: Path) -> None:
    """It loops: what is practised is played over and over."""
    tune = shipped("seven-gulls")
    asked = tune_asked("seven-gulls", tune, TuneWords(60), read_tables(tmp_path))
    assert (asked.title, asked.passage.first, asked.passage.last) == ("Seven Gulls", 0, len(tune.notes) - 1)
    assert (asked.passage.loops, asked.standard.name, asked.click_bpm) == (True, "steady", 60.0)


def test_all_mistakes_are_named_at_once(tmp_path: Path) -> None:
    """A line each."""
    with pytest.raises(ChanterdError) as refused:
        tune_asked("x", shipped("seven-gulls"), TuneWords(5, 9, 4, "stedy"), read_tables(tmp_path))
    said = str(refused.value)
    assert len(said.splitlines()) == 3
    assert "from note 9 to note 4" in said
    assert "click_bpm is 5" in said
    assert "Did you mean 'steady'" in said
