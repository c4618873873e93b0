"""What a recording is asked, in words: understood, or told what is wrong with it."""

from pathlib import Path

import pytest

from chanterd.assessing.request import Wanted, understood
from chanterd.config import ChanterdError
from chanterd.hearing.take import write_take
from chanterd.tables import Tables, read_tables
from tests.history.practice import GRIP, judged, played

OFFS_MS = [4.0, 90.0]


@pytest.fixture
def tables(tmp_path: Path) -> Tables:
    """What ships."""
    return read_tables(tmp_path)


@pytest.fixture
def take(tmp_path: Path) -> Path:
    """Two grips, at 60."""
    path = tmp_path / "a.mid"
    write_take(path, played(GRIP, OFFS_MS))
    return path


def test_what_is_left_out_is_what_ships_or_what_the_file_says(take: Path, tables: Tables) -> None:
    """The file's own tempo, the first layout, the chanter that fits; and it is judged so."""
    asked = understood(take, Wanted(GRIP), tables)
    assert (asked.click_bpm, asked.layout.name, asked.profile.name) == (60.0, "two clicks", "written pitch")
    assert [drill.words for drill in asked.sequence] == [GRIP]
    assert asked.midi == take.read_bytes()
    assert asked.assessed()["reps"] == judged(GRIP, OFFS_MS)


def test_everything_may_be_said(take: Path, tables: Tables) -> None:
    """Up and down the scale each rep asks its own way in; without a click the tempo that was kept is told."""
    scale = "up and down the scale"
    asked = understood(take, Wanted(GRIP, 80, "learner", "written pitch", 0.1, scale), tables)
    assert (asked.click_bpm, asked.standard.name, asked.spread.held_of_click) == (80.0, "learner", 0.1)
    assert len(asked.sequence) > 2
    assert "continuation" in understood(take, Wanted(GRIP, click_off=True), tables).assessed()


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (Wanted("grap from B to C"), "Did you mean 'grip'"),
        (Wanted(GRIP, "quick"), "The tempo click_bpm is 'quick'"),
        (Wanted(GRIP, standard="learnr"), "Did you mean 'learner'"),
        (Wanted(GRIP, chanter="mine"), "The profile 'mine' is not known."),
        (Wanted(GRIP, spread=6.0), "The spread is 6.0"),
        (Wanted(GRIP, layout="two"), "The layout 'two' is not known."),
    ],
)
def test_what_is_not_understood_is_told(take: Path, tables: Tables, wanted: Wanted, said: str) -> None:
    """In the sentence of whoever knows that word."""
    with pytest.raises(ChanterdError, match=said):
        understood(take, wanted, tables)


def test_a_file_that_is_no_take_is_told(take: Path, tables: Tables) -> None:
    """Or that is not there."""
    take.write_bytes(b"no take")
    with pytest.raises(ChanterdError, match="is not a MIDI file"):
        understood(take, Wanted(GRIP), tables)
    take.unlink()
    with pytest.raises(ChanterdError, match="cannot be read"):
        understood(take, Wanted(GRIP), tables)
