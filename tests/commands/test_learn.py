"""``chanterd learn``: a scale in a file teaches, a part of one does not."""

import time
from pathlib import Path

from chanterd.commands.learn import LESSON_S
from tests.command_runner import Commands
from tests.written_takes import GRIP, GRIP_WORDS, WRITTEN, write


def test_a_scale_in_a_file_teaches_a_chanter(chanterd: Commands, tmp_path: Path) -> None:
    """Played once, low G to high A, on numbers of its own: saved, and known to assess by its name."""
    numbers = {note: midi - 30 for note, midi in WRITTEN.items()}
    scale = write(tmp_path / "scale.mid", [(100.0 * at, note) for at, note in enumerate(numbers)], numbers=numbers)
    code, out, _ = chanterd.run("learn", "--input", scale, "--name", "shed", "--data", chanterd.data)
    assert code == 0
    assert "[9 of 9] All nine notes are known." in out
    assert out.splitlines()[-1].startswith("Saved as 'shed' in ")
    take = write(tmp_path / "take.mid", GRIP, numbers=numbers)
    shown = chanterd.assessed(take, GRIP_WORDS, "--data", chanterd.data)
    assert (shown["chanter"], shown["reps"][0]["clean"]) == ("shed", True)


def test_a_file_without_the_scale_teaches_nothing(chanterd: Commands, tmp_path: Path) -> None:
    """It says how many notes came and what to do, soon after the file's end; nothing is saved."""
    short = write(tmp_path / "short.mid", [(0.0, "low G"), (100.0, "low A"), (200.0, "B")])
    began = time.monotonic()
    code, _, err = chanterd.run("learn", "--input", short, "--data", chanterd.data)
    assert code == 2
    assert time.monotonic() - began < LESSON_S / 2
    assert err.splitlines()[-1] == (
        "chanterd: I heard 3 of the scale's 9 notes. See 'chanterd inputs' for the ports, then try again."
    )
    assert list(chanterd.data.rglob("*.toml")) == []
