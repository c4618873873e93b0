"""What is remembered of each chanter between runs."""

import json
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.serving.seats.input_memory import FILE, InputMemory, InputSettings


def test_what_is_kept_is_there_next_time(tmp_path: Path) -> None:
    """Profile and calibration of each chanter are read back; a later one replaces only what it names."""
    memory = InputMemory(tmp_path / "new" / "folder")
    memory.keep("kitchen", profile="low A as B flat")
    memory.keep("kitchen", calibration_ms=-12.5)
    memory.keep("school", calibration_ms=0.0)
    again = InputMemory(tmp_path / "new" / "folder")
    assert again.of("kitchen") == InputSettings("low A as B flat", -12.5)
    assert again.of("school") == InputSettings(None, 0.0)
    assert again.of("another") == InputSettings()


def test_a_port_that_is_counted_otherwise_is_the_same_chanter(tmp_path: Path) -> None:
    """ALSA and WinMM put numbers behind a port's name, which may change when it is plugged in again (from memory)."""
    memory = InputMemory(tmp_path)
    assert memory.key("1", "Chanter:Chanter MIDI 1 24:0") == "Chanter:Chanter MIDI 1"
    assert memory.key("1", "Chanter:Chanter MIDI 1 28:0") == "Chanter:Chanter MIDI 1"
    assert memory.key("1", "Chanter 3") == "Chanter"


def test_two_of_one_model_are_known_apart(tmp_path: Path) -> None:
    """The second seat's is number 2, and stays so when the first one has gone; a third takes the free number."""
    memory = InputMemory(tmp_path)
    assert memory.key("1", "Kitchen chanter 20:0") == "Kitchen chanter"
    assert memory.key("2", "Kitchen chanter 24:0") == "Kitchen chanter (2)"
    memory.leave("1")
    assert memory.key("2", "Kitchen chanter 32:0") == "Kitchen chanter (2)"
    assert memory.key("3", "Kitchen chanter 20:0") == "Kitchen chanter"


def test_two_that_are_looked_for_by_the_same_words_keep_their_order(tmp_path: Path) -> None:
    """Whichever is found first."""
    memory = InputMemory(tmp_path)
    assert [memory.key(seat, "kitchen") for seat in "12"] == ["kitchen", "kitchen (2)"]
    assert memory.key("2", "Kitchen chanter 24:0") == "Kitchen chanter (2)"
    assert memory.key("1", "Kitchen chanter 20:0") == "Kitchen chanter"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"a": 5}',
        '{"a": {"profile": 5}}',
        '{"a": {"calibration_ms": "late"}}',
        '{"a": {"calibration_ms": NaN}}',
        '{"a": {"calibration_ms": 1e999}}',
        '{"a": {"calibration_ms": 1e300}}',
        "\udcff",
    ],
)
def test_a_file_that_cannot_be_read_is_set_aside_not_lost(
    tmp_path: Path, text: str, caplog: pytest.LogCaptureFixture
) -> None:
    """The daemon starts with nothing known, says so, and leaves the file to be looked into."""
    (tmp_path / FILE).write_bytes(text.encode("utf-8", "surrogateescape"))
    memory = InputMemory(tmp_path)
    assert memory.of("a") == InputSettings()
    assert "inputs.json is now called inputs.json.damaged" in caplog.text
    assert (tmp_path / "inputs.json.damaged").read_bytes() == text.encode("utf-8", "surrogateescape")
    memory.keep("a", calibration_ms=1.0)
    assert InputMemory(tmp_path).of("a").calibration_ms == 1.0


def test_a_write_that_fails_leaves_the_old_file_whole(tmp_path: Path) -> None:
    """The error is one sentence with the mend; what was known, in the file and in the program, stays."""
    memory = InputMemory(tmp_path)
    memory.keep("a", calibration_ms=1.0)
    (tmp_path / "inputs.json.part").mkdir()
    with pytest.raises(ChanterdError, match=r"inputs\.json: cannot be written .*--data"):
        memory.keep("a", calibration_ms=2.0)
    assert memory.of("a").calibration_ms == 1.0
    assert json.loads((tmp_path / FILE).read_text())["a"]["calibration_ms"] == 1.0
