"""``chanterd assess --tune``: a table, JSON, and one line for what cannot be assessed."""

import json
import shlex
from pathlib import Path

import pytest

from chanterd.config import bundled
from chanterd.hearing.take import write_take
from tests.bench.tune_performances import CONDITIONS, sample
from tests.command_runner import Commands
from tests.commands.tune_schemas import ASSESSED, valid

TUNE = bundled("configs") / "tunes" / "seven-gulls.abc"


@pytest.fixture
def played(tmp_path: Path) -> Path:
    """A simulated take of the jig."""
    path = tmp_path / "jig.mid"
    write_take(path, sample("seven-gulls", CONDITIONS["all mixed"], 61).performance.messages, 116.0)
    return path


@pytest.mark.parametrize("tempo", ["--click 116", "--click-off", ""])
def test_every_note_that_was_reached_is_printed_in_order(chanterd: Commands, played: Path, tempo: str) -> None:
    """As JSON: with its index as written, and which coming-by it is."""
    code, out, err = chanterd.run("assess", played, "--tune", TUNE, *shlex.split(tempo), "--json")
    assert (code, err) == (0, "")
    found = json.loads(out)
    assert found["tune"] == "Seven Gulls"
    seen: dict[int, int] = {}
    for note in found["notes"]:
        seen[note["note"]] = seen.get(note["note"], 0) + 1
        assert note["pass"] == seen[note["note"]]
        assert note["state"] in ("played", "missing", "wrong note", "merged")
        assert (note["onset_ms"] is None) == (note["state"] in ("missing", "merged"))
    onsets = [note["onset_ms"] for note in found["notes"] if note["onset_ms"] is not None]
    assert onsets == sorted(onsets)
    graced = next(note for note in found["notes"] if note["note"] == 4)
    assert graced["ornament"]["drill"] == "doubling from low A to C"
    assert [step["step"] for step in graced["ornament"]["steps"]] == [0, 1, 2, 3]


@pytest.mark.parametrize("condition", ["clean", "left-out gracenotes", "bar begun once more", "all mixed"])
@pytest.mark.parametrize("tempo", ["--click 124", "--click-off"])
def test_what_other_programs_read_is_as_the_contract_says(
    chanterd: Commands, tmp_path: Path, condition: str, tempo: str
) -> None:
    """By a JSON Schema; each ornament has its gracenotes and the melody note as steps, in order."""
    take, tune = tmp_path / "take.mid", bundled("configs") / "tunes" / "net-mender.abc"
    write_take(take, sample("net-mender", CONDITIONS[condition], 3).performance.messages, 124.0)
    _, out, _ = chanterd.run("assess", take, "--tune", tune, *shlex.split(tempo), "--json")
    found = json.loads(out)
    valid(found, ASSESSED)
    _, out, _ = chanterd.run("tune", tune, "--json")
    written = json.loads(out)["notes"]
    for note in found["notes"]:
        there = written[note["note"]]
        assert (note["ornament"] is not None) == bool(there["gracenotes"])
        if note["ornament"] is None:
            continue
        assert note["ornament"]["gracenotes"] == there["gracenotes"]
        assert note["ornament"]["drill"] == there["drill"]
        steps = note["ornament"]["steps"]
        assert [step["step"] for step in steps] == list(range(len(there["gracenotes"]) + 1))
        assert [step["note"] for step in steps] == [*there["gracenotes"], there["note"]]


def test_for_a_reader_it_is_a_few_lines(chanterd: Commands, played: Path) -> None:
    """What to take out next is among them."""
    code, out, _ = chanterd.run("assess", played, "--tune", TUNE, "--click", "116")
    assert code == 0
    assert out.startswith("Seven Gulls, clicks a minute: 116, standard 'steady'.")
    assert "To take out next:" in out
    assert len(out.splitlines()) < 25


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("--click 60 --click-off", "--click and --click-off exclude each other"),
        ("--click 0", "The tempo click_bpm is 0.0"),
        ("--number 2", "The tune --number is '2'; it must be a whole number from 1 to 1, such as 1."),
        ("--drill 'grip from B to C'", "--drill and --layout do not go with --tune"),
        ("--standard stedy", "The standard 'stedy' is not known. Did you mean 'steady'?"),
        ("--chanter white", "The profile 'white' is not known."),
        ("--offset soon", "The offset is 'soon'"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(chanterd: Commands, played: Path, words: str, said: str) -> None:
    """Exit 2, nothing on stdout."""
    assert chanterd.refused("assess", played, "--tune", TUNE, *shlex.split(words)).startswith(said)


def test_a_number_without_a_tune(chanterd: Commands, played: Path) -> None:
    """It would mean nothing."""
    refused = chanterd.refused("assess", played, "--drill", "grip from B to C", "--number", "1")
    assert refused.startswith("--number goes with --tune")


def test_a_file_that_is_no_tune(chanterd: Commands, played: Path) -> None:
    """Named, in one line."""
    assert "holds no tune" in chanterd.refused("assess", played, "--tune", __file__)
