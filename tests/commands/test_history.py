"""``chanterd history``, as it is typed."""

import csv
import json
import os
from pathlib import Path

import mido
import pytest

from chanterd.hearing.track import whole_take
from tests.command_runner import Commands
from tests.history.practised_runs import GRIP, noon, played

OFFS_MS = [4.0, 5.0, 90.0]


@pytest.fixture
def chanterd(practised: Commands) -> Commands:
    """The command line, with two players in its history."""
    return practised


def test_list_names_everybody_and_their_runs(chanterd: Commands) -> None:
    """A line a run: number, when, what, how it went."""
    code, out, _ = chanterd.run("history", "list")
    assert code == 0
    assert "Ailsa: 1 run, the last on 2026-03-31." in out
    assert "      1  2026-03-31 12:00  grip from B to C, 60 clicks: 2 of 3 clean, usually on the beat" in out
    assert "birl from E" in out
    _, out, _ = chanterd.run("history", "list", "--player", "rory")
    assert "Ailsa" not in out


def test_list_of_nothing_says_so(chanterd: Commands, tmp_path: Path) -> None:
    """A data folder that has seen no practice."""
    assert chanterd.run("history", "list", "--data", tmp_path / "new")[1] == "Nobody has practised yet.\n"


def test_export_as_json_is_one_file_with_everything(chanterd: Commands, tmp_path: Path) -> None:
    """Said in a sentence where it is."""
    out = tmp_path / "all.json"
    code, said, _ = chanterd.run("history", "export", "--format", "json", "--out", out)
    assert (code, said) == (0, f"2 runs are in {out}.\n")
    shown = json.loads(out.read_text("utf-8"))
    assert [run["drill"] for run in shown["runs"]] == [GRIP, "birl from E"]


def test_export_as_csv_is_a_folder_of_tables(chanterd: Commands, tmp_path: Path) -> None:
    """One player's only, if so asked."""
    out = tmp_path / "tables"
    code, _, _ = chanterd.run("history", "export", "--format", "csv", "--out", out, "--player", "Ailsa")
    assert code == 0
    assert {path.name for path in out.iterdir()} == {
        "players.csv", "runs.csv", "reps.csv", "steps.csv", "faults.csv",
        "tune_runs.csv", "tune_ways.csv", "tune_notes.csv",
        "free_runs.csv", "free_ways.csv", "free_ornaments.csv",
    }  # fmt: skip
    with (out / "reps.csv").open(encoding="utf-8-sig", newline="") as file:
        assert len(list(csv.DictReader(file))) == 3


def test_a_take_comes_out_as_a_file_that_can_be_assessed(chanterd: Commands, tmp_path: Path) -> None:
    """The same reps as are in the history."""
    out = tmp_path / "take.mid"
    code, said, _ = chanterd.run("history", "take", 1, "--out", out)
    assert (code, said) == (0, f"The take of run 1 is in {out}: {GRIP}, 60 clicks a minute.\n")
    assert mido.MidiFile(out).length > 4
    reps = chanterd.assessed(out, GRIP)["reps"]
    assert [rep["clean"] for rep in reps] == [True, True, False]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("export", "--format", "xml", "--out", "x"), "must be csv or json"),
        (("export", "--format", "json", "--out", "nowhere/x.json"), "cannot be written (No such file or directory)"),
        (("list", "--player", "Alisa"), "Did you mean 'Ailsa'?"),
        (("take", 9, "--out", "x.mid"), "There is no run 9"),
        (("take", "9" * 30, "--out", "x.mid"), "it must be a whole number from 1 to 9223372036854775807, such as 12."),
        (("delete", "--run", "9" * 30), "it must be a whole number from 1 to"),
        (("delete", "--run", 9), "There is no run 9"),
        (("list", "--most", "9" * 30), "it must be a whole number from 1 to 1000000, such as 20."),
        (("list", "--most", 0), "it must be a whole number from 1 to 1000000, such as 20."),
        (("delete",), "Say what to delete: --player NAME, or --run RUN."),
        (("delete", "--run", 9, "--yes"), "There is no run 9"),
        (("list", "--store", "nonsense"), "must be a URL such as"),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_line(chanterd: Commands, words: tuple[object, ...], said: str) -> None:
    """Exit code 2."""
    assert said in chanterd.refused("history", *words)


def test_delete_deletes_a_run_or_a_player(chanterd: Commands) -> None:
    """And says what."""
    assert chanterd.run("history", "delete", "--run", 1, "--yes")[1] == "Deleted run 1.\n"
    assert (
        chanterd.run("history", "delete", "--player", "rory", "--yes")[1]
        == "Deleted 'Rory' and everything they played.\n"
    )
    assert chanterd.run("history", "list")[1] == "Ailsa: no runs yet.\n"


def test_delete_asks_first(chanterd: Commands, monkeypatch: pytest.MonkeyPatch) -> None:
    """Naming what it is, so that a wrong number is seen; whoever does not say yes keeps everything."""
    asked: list[str] = []

    def no(words: str, *, abort: bool) -> None:
        asked.append(words)
        raise SystemExit(1 if abort else 0)

    monkeypatch.setattr("typer.confirm", no)
    assert chanterd.run("history", "delete", "--run", 1)[0] == 1
    assert asked == [
        "Delete run 1 (2026-03-31 12:00, grip from B to C, 60 clicks: 2 of 3 clean, usually on the beat) for good?"
    ]
    assert "grip from B to C" in chanterd.run("history", "list")[1]


def test_a_take_is_imported_for_a_player_who_may_be_new(chanterd: Commands, tmp_path: Path) -> None:
    """It says how it went, and the take is there."""
    path = tmp_path / "take.mid"
    path.write_bytes(whole_take(played(GRIP, OFFS_MS), 60.0))
    os.utime(path, ns=(noon().ns, noon().ns))
    code, said, _ = chanterd.run("history", "import", path, "--drill", GRIP, "--player", "Isla")
    assert code == 0
    assert said.startswith("Isla, run 3: 2026-03-31 ")
    assert said.endswith("grip from B to C, 60 clicks: 2 of 3 clean, usually on the beat.\n")
    assert chanterd.run("history", "take", 3, "--out", tmp_path / "again.mid")[0] == 0
    assert (tmp_path / "again.mid").read_bytes() == path.read_bytes()


def test_what_cannot_be_imported_adds_nobody(chanterd: Commands, tmp_path: Path) -> None:
    """A drill that is not understood, a file that is no take: the name is not kept for a later time either."""
    path = tmp_path / "take.mid"
    path.write_bytes(b"no take")
    assert "is not a MIDI file" in chanterd.refused("history", "import", path, "--drill", GRIP, "--player", "Isla")
    path.write_bytes(whole_take(played(GRIP, OFFS_MS), 60.0))
    assert "Did you mean" in chanterd.refused("history", "import", path, "--drill", "grap from B", "--player", "Isla")
    assert "Isla" not in chanterd.run("history", "list")[1]
