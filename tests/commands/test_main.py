"""The command line: what each command prints, and one plain line for whatever cannot be done."""

import json
import os
import shlex
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from chanterd import __version__
from chanterd.commands.main import LESSON_S
from chanterd.music.drill import all_drills, drill_from_words
from tests.command_runner import Commands
from tests.takes import WRITTEN, write

GRIP = [(0.0, "B"), (840.0, "low G"), (900.0, "D"), (940.0, "low G"), (1000.0, "C")]
GRIP_WORDS = "grip from B to C"
COMMANDS = (
    "serve",
    "assess",
    "inputs",
    "learn",
    "drills",
    "sheet",
    "practise",
    "report",
    "service",
    "version",
    "history",
)
SEE = "See 'chanterd assess --help'."
INPUTS = "Say 'demo', a MIDI port's name or a unique part of it, a .mid file, or raw:PATH."


@pytest.fixture
def chanterd(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Commands:
    """The command line."""
    return Commands(capfd, monkeypatch, tmp_path / "data")


@pytest.fixture
def take(tmp_path: Path) -> Path:
    """A clean grip at 60."""
    return write(tmp_path / "take.mid", GRIP)


def test_help_is_there_and_bare_chanterd_shows_it(chanterd: Commands) -> None:
    """Whoever knows nothing yet learns the commands, and that is no error."""
    for words in ((), ("--help",)):
        code, out, err = chanterd.run(*words)
        assert (code, err) == (0, "")
        for command in COMMANDS:
            assert command in out
    code, out, _ = chanterd.run("assess", "--help")
    assert code == 0
    assert "--drill" in out


def test_the_version_is_printed(chanterd: Commands) -> None:
    """As the package has it."""
    assert chanterd.run("version") == (0, f"{__version__}\n", "")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            "assess take.mid",
            f"'chanterd assess' needs --drill: what was to be played, such as '{GRIP_WORDS}'. {SEE}",
        ),
        ("assess --drill x", "'chanterd assess' needs TAKE: a Standard MIDI File. " + SEE),
        (
            "assess take.mid --dril x",
            f"'chanterd assess' has no option --dril. Did you mean '--drill'? {SEE}",
        ),
        ("assess take.mid --drill", "--drill needs a value after it."),
        ("assess take.mid --drill x --json=1", "--json takes no value. See 'chanterd --help'."),
        (
            "assess take.mid --drill grip from B to C",
            "'chanterd assess' has no use for 'from B to C'. Are quotes missing around a text of several words?",
        ),
        (
            "asess take.mid",
            f"There is no command 'asess'. Did you mean 'assess'? There are: {', '.join(COMMANDS)}.",
        ),
        ("-x", "'chanterd' has no option -x. See 'chanterd --help'."),
        (
            "learn",
            f"'chanterd learn' needs --input: say {INPUTS.removeprefix('Say ')} See 'chanterd learn --help'.",
        ),
        (
            "learn --input demo --name ' '",
            "The name --name is empty; give the chanter a name of one letter or more.",
        ),
    ],
)
def test_a_command_line_that_is_not_understood_is_told_in_one_line(chanterd: Commands, words: str, said: str) -> None:
    """What is wrong and the likely mend; exit 2, nothing on stdout."""
    assert chanterd.refused(*shlex.split(words)) == said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            "--drill 'gripp from B to C'",
            "'gripp' is not an ornament in the book. Did you mean 'grip'?",
        ),
        (
            "--drill grip",
            "The drill 'grip' is not understood; say 'ORNAMENT from NOTE to NOTE', such as 'grip from B to C'.",
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
def test_what_assess_cannot_do_is_told_in_one_line(chanterd: Commands, take: Path, words: str, said: str) -> None:
    """Field, value, what is allowed; exit 2, nothing on stdout, as JSON or as a table."""
    for as_json in ((), ("--json",)):
        assert chanterd.refused("assess", take, *shlex.split(words), *as_json).startswith(said)


def test_a_file_that_is_no_take_is_told_in_one_line(chanterd: Commands, tmp_path: Path) -> None:
    """Missing, a folder, no MIDI file: the path, what is wrong, the mend."""
    text = tmp_path / "notes.txt"
    text.write_text("la la la")
    for path, said in (
        (tmp_path / "no.mid", "cannot be read (No such file or directory); check the name and who may read it."),
        (tmp_path, "cannot be read (Is a directory); check the name and who may read it."),
        (text, "is not a MIDI file: it begins with b'la l' instead of 'MThd'; export the take as a Standard MIDI File"),
    ):
        assert chanterd.refused("assess", path, "--drill", GRIP_WORDS).startswith(f"{path}: {said}")


def test_a_take_whose_tempo_changes_needs_a_click(chanterd: Commands, tmp_path: Path) -> None:
    """Two tempi in the file: which counts is not guessed."""
    import mido  # noqa: PLC0415

    path = write(tmp_path / "take.mid", GRIP)
    file = mido.MidiFile(path)
    file.tracks[0].insert(4, mido.MetaMessage("set_tempo", tempo=500_000))
    file.save(path)
    assert chanterd.refused("assess", path, "--drill", GRIP_WORDS) == (
        "take.mid: the take changes its tempo (60 from 0 s, 120 from 0.84 s); say the tempo it was played to with "
        "--click, such as --click 60."
    )


def test_mistakes_in_a_teachers_file_are_told_line_by_line(chanterd: Commands, take: Path) -> None:
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
    assert lines[0] == "grip from B to C: low G, D, low G, then C on the beat."
    assert lines[1] == "60 clicks a minute, standard 'steady', chanter 'written pitch'."
    assert "  1  Clean." in lines
    assert "1 of 1 clean, 1 in a row at best." in lines
    assert max(map(len, lines)) <= 80


def test_json_is_one_object_and_nothing_else(chanterd: Commands, take: Path) -> None:
    """Whoever reads it with a program gets the whole output as JSON."""
    told = chanterd.assessed(take, GRIP_WORDS)
    assert {"drill", "click_bpm", "standard", "reps", "summary"} <= told.keys()


def test_assess_writes_nothing(chanterd: Commands, take: Path) -> None:
    """Not even an empty data folder."""
    before = sorted(take.parent.rglob("*"))
    chanterd.assessed(take, GRIP_WORDS)
    assert sorted(take.parent.rglob("*")) == before


@pytest.mark.parametrize(
    ("option", "value"), [("--port", "zz"), ("--port", "-1"), ("--port", "65536"), ("--port", "8.5")]
)
def test_a_port_that_is_none_is_told(chanterd: Commands, option: str, value: str) -> None:
    """The value, the range and an example."""
    assert chanterd.refused("serve", "--no-open", option, value) == (
        f"The port --port is '{value}'; it must be a whole number from 0 to 65535, such as 8437."
    )


def test_a_port_in_use_is_told(chanterd: Commands) -> None:
    """By another program, or by the daemon running already."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        said = chanterd.refused("serve", "--no-open", "--port", port, "--data", chanterd.data)
    assert said.startswith(f"The port {port} cannot be used: it is taken; is the daemon running already?")


def test_a_data_folder_that_cannot_be_used_is_told_before_anything_starts(chanterd: Commands, take: Path) -> None:
    """A file in its place: serve and learn want to write there, assess to read there."""
    for words in (("serve", "--no-open"), ("learn", "--input", "demo")):
        said = chanterd.refused(*words, "--data", take)
        assert said.startswith(f"{take}: the data folder cannot be written to (")
        assert said.endswith("Choose another folder with --data.")
    said = chanterd.refused("assess", take, "--drill", GRIP_WORDS, "--data", take)
    assert said == f"{take}: the data folder cannot be read (Not a directory). Choose another folder with --data."


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("", f"The input is empty. {INPUTS}"),
        ("raw:", "'raw:' needs a path after the colon, such as raw:/dev/midi1."),
        ("nowhere.mid", "nowhere.mid: there is no such file."),
    ],
)
def test_an_input_that_is_none_is_told(chanterd: Commands, source: str, said: str) -> None:
    """By serve and by learn alike, before anything starts."""
    for words in (("serve", "--no-open", "--port", "0"), ("learn",)):
        assert chanterd.refused(*words, "--data", chanterd.data, "--input", source).startswith(said)


def test_a_broken_profile_stops_the_daemon_with_every_mistake(chanterd: Commands) -> None:
    """Rather than on the first practice."""
    folder = chanterd.data / "chanters"
    folder.mkdir(parents=True)
    (folder / "mine.toml").write_text('name = "mine"\n[notes]\n"low G" = 300\n')
    code, out, err = chanterd.run("serve", "--no-open", "--port", "0", "--data", chanterd.data)
    assert (code, out) == (2, "")
    assert all(line.startswith("chanterd: chanters/mine.toml: ") for line in err.splitlines())
    assert "300" in err


def test_the_inputs_are_listed_with_what_else_can_be_said(chanterd: Commands) -> None:
    """Ports or what to do without any, the simulated player, and the words that --input takes."""
    code, out, _ = chanterd.run("inputs")
    assert code == 0
    assert "demo  (the simulated player)" in out
    assert INPUTS in out


def test_a_scale_in_a_file_teaches_a_chanter(chanterd: Commands, tmp_path: Path) -> None:
    """Played once, low G to high A, on numbers of its own: saved, and known to assess by its name."""
    numbers = {note: midi - 30 for note, midi in WRITTEN.items()}
    scale = write(tmp_path / "scale.mid", [(100.0 * at, note) for at, note in enumerate(numbers)], numbers=numbers)
    code, out, _ = chanterd.run("learn", "--input", scale, "--name", "shed", "--data", chanterd.data)
    assert code == 0
    assert "[9 of 9] All nine notes are known." in out
    assert out.splitlines()[-1].startswith("Saved as 'shed' in ")
    take = write(tmp_path / "take.mid", GRIP, numbers=numbers)
    told = chanterd.assessed(take, GRIP_WORDS, "--data", chanterd.data)
    assert (told["chanter"], told["reps"][0]["clean"]) == ("shed", True)


def test_a_file_without_the_scale_teaches_nothing(chanterd: Commands, tmp_path: Path) -> None:
    """It says how many notes came and what to do, soon after the file's end; nothing is saved."""
    short = write(tmp_path / "short.mid", [(0.0, "low G"), (100.0, "low A"), (200.0, "B")])
    began = time.monotonic()
    code, _, err = chanterd.run("learn", "--input", short, "--data", chanterd.data)
    assert code == 2
    assert time.monotonic() - began < LESSON_S / 2
    assert err.splitlines()[-1] == (
        "chanterd: The scale was not heard: 3 of its 9 notes came. See 'chanterd inputs' for the ports, then try again."
    )
    assert list(chanterd.data.rglob("*.toml")) == []


def test_drills_are_listed_in_words_that_can_be_asked_for(chanterd: Commands) -> None:
    """Each line begins with the words of a drill, and words given narrow the list down."""
    code, out, err = chanterd.run("drills", "Taorluath", "low A")
    assert (code, err) == (0, "")
    *lines, count = out.splitlines()
    assert count == f"{len(lines)} drills."
    for line in lines:
        words, _, spelled = line.partition(": ")
        assert drill_from_words(words).spelled == spelled
        assert "taorluath" in words
        assert "low A" in words
    assert chanterd.run("drills", "E gracenote grip from high G to high A")[1].splitlines()[-1] == "1 drill."
    whole = chanterd.run("drills")[1].splitlines()
    assert len(whole) == len(list(all_drills())) + 1


def test_drills_as_json_are_one_list(chanterd: Commands) -> None:
    """With the notes of each, and an empty list where nothing fits."""
    listed = json.loads(chanterd.run("drills", "grip", "from B to C", "--json")[1])
    assert GRIP_WORDS in [one["drill"] for one in listed]
    assert json.loads(chanterd.run("drills", "bassoon", "--json")[1]) == []
    assert chanterd.run("drills", "bassoon")[1] == "No drill has all of the words bassoon.\n"


def command(words: str, stdout: int) -> "subprocess.Popen[bytes]":
    """The command line in a process of its own."""
    start = [sys.executable, "-c", "from chanterd.commands.main import main; main()", *words.split()]
    return subprocess.Popen(start, stdout=stdout, stderr=subprocess.PIPE, cwd=Path(__file__).parents[2])


def test_a_reader_that_goes_away_is_no_error_to_talk_about() -> None:
    """``chanterd drills | head -1``: no traceback, nothing on stderr."""
    with command("drills --json", subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(10)
        process.stdout.close()
        assert process.stderr.read() == b""


def test_a_full_disk_is_told_in_one_line() -> None:
    """Half of a table would be taken for the whole."""
    full = os.open("/dev/full", os.O_WRONLY)
    with command("drills", full) as process:
        os.close(full)
        _, err = process.communicate(timeout=60)
    assert process.returncode == 2
    assert err.decode() == "chanterd: The output cannot be written (No space left on device). Is the disk full?\n"
