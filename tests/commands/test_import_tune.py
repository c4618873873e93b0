"""``chanterd history import --tune``, and what ``chanterd history`` does with such a run."""

import json
from pathlib import Path

import mido
import pytest

from chanterd.config import bundled
from chanterd.hearing.take import write_take
from tests.bench.tune_performances import CONDITIONS, sample
from tests.command_runner import Commands

JIG = bundled("configs") / "tunes" / "seven-gulls.abc"
ONE = sample("seven-gulls", CONDITIONS["crushed gracenotes"], 3)


@pytest.fixture
def take(tmp_path: Path) -> Path:
    """The jig once through, some gracenotes too short to hear, at 116 clicks a minute."""
    path = tmp_path / "jig.mid"
    write_take(path, list(ONE.performance.messages), 116.0)
    return path


@pytest.fixture
def imported(chanterd: Commands, take: Path) -> Commands:
    """With that take in the history, as Isla's."""
    code, out, err = chanterd.run("history", "import", take, "--player", "Isla", "--tune", "seven-gulls")
    assert (code, err) == (0, "")
    summary = ONE.run().found()["summary"]
    assert out.startswith("Isla, run tune-1: ")
    assert out.endswith(f"Seven Gulls, 116 clicks: {summary['clean']} of {summary['ornaments']} ornaments clean.\n")
    return chanterd


def test_a_take_of_a_tune_is_listed_and_shown(imported: Commands) -> None:
    """Among the runs; by itself with what to take out next and the tempo by bar."""
    _, listed, _ = imported.run("history", "list")
    assert "Isla: 1 run, the last on " in listed
    assert " tune-1  " in listed
    _, shown, _ = imported.run("history", "show", "tune-1")
    summary = ONE.run().found()["summary"]
    assert shown.splitlines()[1] == summary["said"]
    assert "To take out next:" in shown
    assert summary["take_out"][0]["words"] in shown
    assert "Tempo by bar, in the order in which they were played:" in shown
    assert "bar  1: " in shown


def test_its_take_comes_out_as_the_file_it_was(imported: Commands, take: Path, tmp_path: Path) -> None:
    """And it can be assessed again."""
    out = tmp_path / "again.mid"
    assert imported.run("history", "take", "tune-1", "--out", out)[0] == 0
    assert out.read_bytes() == take.read_bytes()
    assert mido.MidiFile(out).length > 10
    _, text, _ = imported.run("assess", out, "--tune", JIG, "--click", "116", "--json")
    assert json.loads(text)["summary"]["clean"] == ONE.run().found()["summary"]["clean"]


def test_it_is_judged_again_and_deleted(imported: Commands) -> None:
    """By today's judge: nothing changes; deleted, it is gone."""
    assert imported.run("assess", "--again")[1] == "Judged 1 take again; 0 have new results.\n"
    assert imported.run("history", "delete", "--run", "tune-1", "--yes")[1] == "Deleted run tune-1.\n"
    assert "Isla: no runs yet." in imported.run("history", "list")[1]
    assert "There is no run 1 through a tune" in imported.refused("history", "show", "tune-1")


def test_a_file_of_a_tune_is_kept_on_the_shelf(chanterd: Commands, take: Path, tmp_path: Path) -> None:
    """So that the run can be looked at in its music; twice it is there once."""
    own = tmp_path / "My Jig.abc"
    own.write_bytes(JIG.read_bytes().replace(b"T:Seven Gulls", b"T:My Jig"))
    for number in (1, 2):
        code, out, _ = chanterd.run("history", "import", take, "--player", "Isla", "--tune", own, "--click-off")
        assert code == 0
        assert f"run tune-{number}: " in out
        assert "My Jig, own tempo, about 116: " in out
    assert [path.name for path in chanterd.data.rglob("*.abc")] == ["my-jig.abc"]


def test_a_tune_that_is_found_in_a_recording_is_kept(chanterd: Commands, take: Path) -> None:
    """Without a word of what is in it."""
    code, out, _ = chanterd.run("history", "import", take, "--player", "Isla")
    assert code == 0
    assert "Isla, run tune-1: " in out
    assert "Seven Gulls, own tempo, about 11" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--tune", "seven-guls"), "Did you mean 'seven-gulls'?"),
        (("--tune", "seven-gulls", "--drill", "birl from E"), "do not go with --tune"),
        (("--tune", JIG, "--number", "4"), "seven-gulls.abc has 1."),
        (("--tune", "seven-gulls", "--click", "60", "--click-off"), "exclude each other"),
    ],
)
def test_what_is_wrong_is_said_in_a_sentence(
    chanterd: Commands, take: Path, words: tuple[object, ...], said: str
) -> None:
    """And nobody is added."""
    assert said in chanterd.refused("history", "import", take, "--player", "Isla", *words)
    assert "Isla" not in chanterd.run("history", "list")[1]
