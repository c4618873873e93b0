"""What --input takes, and what is said when it cannot be had."""

import os
import subprocess
import sys
from pathlib import Path

import mido
import pytest

from chanterd.config import ChanterdError
from chanterd.hearing.inputs import open_input
from chanterd.hearing.raw import RawSource
from chanterd.hearing.simulated import DemoSource
from chanterd.hearing.take import TakeSource, write_take
from chanterd.music.units import Ns


@pytest.fixture
def take(tmp_path: Path) -> Path:
    """A take with one note in it."""
    path = tmp_path / "grips.mid"
    write_take(path, [(mido.Message("note_on", note=67), Ns(0))])
    return path


def refusal(words: str) -> str:
    """What is said about an input that cannot be had."""
    with pytest.raises(ChanterdError) as caught:
        open_input(words)
    return str(caught.value)


def test_each_kind_of_words_opens_its_source(take: Path) -> None:
    """Demo, a take by its ending or because it is a file, raw bytes; case and blanks around do not matter."""
    plain = take.rename(take.with_suffix(""))
    assert isinstance(open_input(" Demo "), DemoSource)
    assert isinstance(open_input(str(plain)), TakeSource)
    write_take(take.with_suffix(".MIDI"), [(mido.Message("note_on", note=67), Ns(0))])
    assert isinstance(open_input(str(take.with_suffix(".MIDI"))), TakeSource)
    raw = open_input("raw:/dev/no-such-chanter")
    assert isinstance(raw, RawSource)
    assert raw.name == "/dev/no-such-chanter"
    raw.stop()


def test_anything_else_is_the_name_of_a_port() -> None:
    """Which port it is, and whether it is there, is the port's own affair."""
    source = open_input("Some Chanter")
    assert type(source).__name__ == "PortSource"
    assert source.name == "Some Chanter"


def test_a_take_that_is_not_there_is_guessed_at(take: Path) -> None:
    """A slip of the pen is answered with the take that was meant."""
    said = refusal(str(take.with_name("gripes.mid")))
    assert "there is no such file. Did you mean 'grips.mid'?" in said
    assert "Say 'demo', a MIDI port's name" in said


def test_a_take_in_a_folder_that_is_not_there_says_so(tmp_path: Path) -> None:
    """Then the folder is what to look at."""
    assert f"The folder {tmp_path / 'no'} does not exist either." in refusal(str(tmp_path / "no" / "a.mid"))


def test_what_is_no_take_says_what_to_say_instead(tmp_path: Path, take: Path) -> None:
    """A folder, a FIFO, and a file of something else."""
    os.mkfifo(tmp_path / "pipe")
    assert "is a folder; name a .mid file in it. Did you mean" not in refusal(str(tmp_path))
    assert "is a folder; name a .mid file in it." in refusal(str(tmp_path))
    assert f"say 'raw:{tmp_path / 'pipe'}'" in refusal(str(tmp_path / "pipe"))
    take.write_text("hello")
    assert "is not a MIDI file" in refusal(str(take))


def test_raw_needs_a_path(tmp_path: Path) -> None:
    """Nothing after the colon, or a folder."""
    assert "'raw:' needs a path after the colon" in refusal("raw: ")
    assert "after 'raw:' name a device file or a FIFO" in refusal(f"raw:{tmp_path}")


def test_an_empty_input_is_refused() -> None:
    """An empty input says what could be there."""
    assert refusal("  ") == (
        "The input is empty. Say 'demo', a MIDI port's name or a unique part of it, a .mid file, or raw:PATH."
    )


def test_takes_and_demo_need_no_midi_driver() -> None:
    """The module that reaches the driver is loaded only when somebody names a port."""
    code = (
        "import sys, chanterd.hearing.inputs as inputs; inputs.open_input('demo');"
        "sys.exit('chanterd.hearing.port' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
