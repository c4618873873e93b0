"""``chanterd drills``: in words that can be typed, to a reader that may go away."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from chanterd.music.book import standard_book
from chanterd.music.drill import all_drills, drill_from_words
from tests.command_runner import Commands
from tests.written_takes import GRIP_WORDS


def test_drills_are_listed_in_words_you_can_type(chanterd: Commands) -> None:
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
    assert chanterd.run("drills", "C doubling")[1] == chanterd.run("drills", "doubling", "to", "C")[1]


def test_without_words_the_ornaments_are_listed(chanterd: Commands) -> None:
    """A line to each, with its other names, and not two thousand drills; for a program, all of them."""
    lines = chanterd.run("drills")[1].splitlines()
    assert "  grip (also leumluath)" in lines
    assert len(lines) < 2 * len(standard_book().ornaments)
    assert len(json.loads(chanterd.run("drills", "--json")[1])) == len(list(all_drills()))


def test_drills_as_json_are_one_list(chanterd: Commands) -> None:
    """With the notes of each; where nothing fits, the program gets no list but an error, with what is nearest."""
    listed = json.loads(chanterd.run("drills", "grip", "from B to C", "--json")[1])
    assert GRIP_WORDS in [one["drill"] for one in listed]
    for options in ([], ["--json"]):
        code, out, err = chanterd.run("drills", "bassoon", *options)
        assert (code, out) == (2, "")
        assert err.startswith("chanterd: No drill matches 'bassoon'. The nearest are '")
        assert err.count("'") == 8


def test_what_is_disputed_is_marked_with_the_words_for_the_other_beat(chanterd: Commands) -> None:
    """In the list of ornaments, and in full with their drills."""
    assert "  birl; disputed" in chanterd.run("drills")[1].splitlines()
    _, out, _ = chanterd.run("drills", "birl", "from", "E")
    assert out.splitlines() == [
        "birl from E: low A, low G tap on the beat, low A, low G tap, then low A",
        (
            "Disputed, birl: Some teachers put the low A before the first tap on the beat. "
            "Ask for it as 'birl from E, beat on low A'."
        ),
        "1 drill.",
    ]
    _, out, _ = chanterd.run("drills", "birl from E, beat on low A")
    assert out.startswith("birl from E, beat on low A: low A on the beat, low G tap, low A, low G tap, then low A\n")


def command(words: str, stdout: int) -> "subprocess.Popen[bytes]":
    """The command line in a process of its own."""
    start = [sys.executable, "-c", "from chanterd.commands.main import main; main()", *words.split()]
    usual = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}  # what a user has
    return subprocess.Popen(start, stdout=stdout, stderr=subprocess.PIPE, cwd=Path(__file__).parents[2], env=usual)


def test_a_reader_that_goes_away_is_no_error_to_talk_about() -> None:
    """``chanterd drills | head -1``: no traceback, nothing on stderr."""
    with command("drills --json", subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(10)
        process.stdout.close()
        assert process.stderr.read() == b""


@pytest.mark.parametrize("words", ["drills", "drills --json", "version", "inputs"])
def test_a_full_disk_is_reported_in_one_line(words: str) -> None:
    """Half of a table would be taken for the whole; so for every command, however little it prints."""
    full = os.open("/dev/full", os.O_WRONLY)
    with command(words, full) as process:
        os.close(full)
        _, err = process.communicate(timeout=60)
    assert process.returncode == 2
    assert err.decode() == "chanterd: The output cannot be written (No space left on device). Is the disk full?\n"
