"""What a recording is asked, in words: understood, or refused with what is wrong."""

from pathlib import Path

import pytest

from chanterd.assessing.request import read_request
from chanterd.config import ChanterdError
from chanterd.hearing.take import write_take
from chanterd.practice.exercise import ExerciseWords
from chanterd.tables import Tables, read_tables
from tests.history.practised_runs import GRIP, judged, played

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
    request = read_request(take, ExerciseWords(GRIP), None, tables)
    assert (request.exercise.click_bpm, request.exercise.layout.name, request.profile.name) == (
        60.0,
        "two clicks",
        "written pitch",
    )
    assert [drill.words for drill in request.sequence] == [GRIP]
    assert request.midi == take.read_bytes()
    assert request.assessed()["reps"] == judged(GRIP, OFFS_MS)


def test_everything_may_be_said(take: Path, tables: Tables) -> None:
    """Up and down the scale each rep asks its own way in; without a click the tempo kept is shown."""
    scale = "up and down the scale"
    request = read_request(take, ExerciseWords(GRIP, 80, "learner", 0.1, scale), "written pitch", tables)
    assert (request.exercise.click_bpm, request.exercise.standard.name, request.exercise.spread.held_of_click) == (
        80.0,
        "learner",
        0.1,
    )
    assert len(request.sequence) > 2
    assert "continuation" in read_request(take, ExerciseWords(GRIP, click_off=True), None, tables).assessed()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (ExerciseWords("grap from B to C"), "Did you mean 'grip'"),
        (ExerciseWords(GRIP, "quick"), "The tempo click_bpm is 'quick'"),
        (ExerciseWords(GRIP, standard="learnr"), "Did you mean 'learner'"),
        (ExerciseWords(GRIP, spread=6.0), "The spread is 6.0"),
        (ExerciseWords(GRIP, layout="two"), "The layout 'two' is not known."),
    ],
)
def test_what_is_not_understood_is_refused_in_a_sentence(
    take: Path, tables: Tables, words: ExerciseWords, said: str
) -> None:
    """In the sentence of whoever knows that word."""
    with pytest.raises(ChanterdError, match=said):
        read_request(take, words, None, tables)


def test_a_file_that_is_no_take_is_refused(take: Path, tables: Tables) -> None:
    """Or that is not there."""
    take.write_bytes(b"no take")
    with pytest.raises(ChanterdError, match="is not a MIDI file"):
        read_request(take, ExerciseWords(GRIP), None, tables)
    take.unlink()
    with pytest.raises(ChanterdError, match="cannot be read"):
        read_request(take, ExerciseWords(GRIP), None, tables)
