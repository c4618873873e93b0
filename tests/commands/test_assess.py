"""``chanterd assess``: a table, JSON, and one line for what cannot be assessed."""

import shlex
from pathlib import Path

import mido
import pytest

from tests.command_runner import Commands
from tests.written_takes import GRIP, GRIP_WORDS, write


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            "--drill 'gripp from B to C'",
            "'gripp' is not an ornament in the book. Did you mean 'grip'?",
        ),
        (
            "--drill grip",
            "The drill 'grip' is not understood; say 'ORNAMENT from NOTE to NOTE', as in 'grip from B to C'.",
        ),
        ("--drill 'grip from H to C'", "'h' is not a note of the chanter."),
        ("--drill 'grip from B to D'", "There is no grip from B to D: "),
        ("--drill 'grip from B to C, stage 9'", "The grip from B to C has no stage 9; its build-up has stages 1 to "),
        ("--drill 'grip from B to C' --click fast", "The tempo click_bpm is 'fast'; it must be a number of clicks"),
        ("--drill 'grip from B to C' --click 0", "The tempo click_bpm is 0.0; it must be a number of clicks a minute"),
        (
            "--drill 'grip from B to C' --click nan",
            "The tempo click_bpm is nan; it must be a number of clicks a minute",
        ),
        (
            "--drill 'grip from B to C' --standard stedy",
            "The standard 'stedy' is not known. Did you mean 'steady'? Known are: competition, learner, steady.",
        ),
        ("--drill 'grip from B to C' --chanter white", "The profile 'white' is not known."),
    ],
)
def test_what_assess_cannot_do_is_reported_in_one_line(chanterd: Commands, take: Path, words: str, said: str) -> None:
    """Field, value, what is allowed; exit 2, nothing on stdout, as JSON or as a table."""
    for as_json in ((), ("--json",)):
        assert chanterd.refused("assess", take, *shlex.split(words), *as_json).startswith(said)


def test_a_file_that_is_no_take_is_reported_in_one_line(chanterd: Commands, tmp_path: Path) -> None:
    """Missing, a folder, no MIDI file: the path, what is wrong, the mend."""
    text = tmp_path / "notes.txt"
    text.write_text("la la la")
    for path, said in (
        (tmp_path / "no.mid", "cannot be read (No such file or directory); check the name and who may read it."),
        (tmp_path, "cannot be read (Is a directory); check the name and who may read it."),
        (
            text,
            "this is not a MIDI file: it begins with 'la l' instead of 'MThd'; export the take as a Standard MIDI File",
        ),
    ):
        assert chanterd.refused("assess", path, "--drill", GRIP_WORDS).startswith(f"{path}: {said}")


def test_a_take_whose_tempo_changes_needs_a_click(chanterd: Commands, tmp_path: Path) -> None:
    """Two tempi in the file: which counts is not guessed."""
    path = write(tmp_path / "take.mid", GRIP)
    file = mido.MidiFile(path)
    file.tracks[0].insert(4, mido.MetaMessage("set_tempo", tempo=500_000))
    file.save(path)
    assert chanterd.refused("assess", path, "--drill", GRIP_WORDS) == (
        "take.mid: the take changes its tempo (60 from 0 s, 120 from 0.84 s); say the tempo it was played to with "
        "--click, such as --click 60."
    )


def test_mistakes_in_a_teachers_file_are_reported_line_by_line(chanterd: Commands, take: Path) -> None:
    """All of them at once, each naming file and place; exit 2, nothing on stdout."""
    folder = chanterd.data / "chanterd" / "standards"
    folder.mkdir(parents=True)
    (folder / "mine.toml").write_text(
        'name = "mine"\nsaid = "Mine."\n[beat]\nwithin_ms = 1\nof_click = 0.1\n[paused]\n'
    )
    code, out, err = chanterd.run("assess", take, "--drill", GRIP_WORDS)
    assert (code, out) == (2, "")
    lines = err.splitlines()
    assert "chanterd: standards/mine.toml: beat: 'within_ms' is 1; it must be a number from 6 to 300." in lines
    assert len(lines) == 5
    assert all(line.startswith("chanterd: standards/mine.toml: ") for line in lines)


def test_assess_prints_a_table_that_fits(chanterd: Commands, take: Path) -> None:
    """80 columns: what was asked and how, the rep's verdict, and a summary."""
    code, out, err = chanterd.run("assess", take, "--drill", GRIP_WORDS)
    assert (code, err) == (0, "")
    lines = out.splitlines()
    assert lines[0] == "grip from B to C: low G, D gracenote, low G, then C on the beat."
    assert lines[1] == "60 clicks a minute, standard 'steady', chanter 'written pitch'."
    assert "  1  Clean." in lines
    assert "1 of 1 clean, 1 in a row at best." in lines
    assert max(map(len, lines)) <= 80


def test_json_is_one_object_and_nothing_else(chanterd: Commands, take: Path) -> None:
    """Whoever reads it with a program gets the whole output as JSON."""
    shown = chanterd.assessed(take, GRIP_WORDS)
    assert {"drill", "click_bpm", "standard", "reps", "summary"} <= shown.keys()


def test_assess_writes_nothing(chanterd: Commands, take: Path) -> None:
    """Not even an empty data folder."""
    before = sorted(take.parent.rglob("*"))
    chanterd.assessed(take, GRIP_WORDS)
    assert sorted(take.parent.rglob("*")) == before
