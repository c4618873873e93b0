"""``chanterd serve``: what keeps it from starting is said before anything starts."""

import socket
from pathlib import Path

import pytest

from chanterd.commands.serve import log_format
from tests.command_runner import Commands
from tests.written_takes import GRIP_WORDS

INPUTS = "Say 'demo', a MIDI port's name or a unique part of it, a .mid file, or raw:PATH."


@pytest.mark.parametrize(
    ("option", "value"), [("--port", "zz"), ("--port", "-1"), ("--port", "65536"), ("--port", "8.5")]
)
def test_an_impossible_port_is_refused(chanterd: Commands, option: str, value: str) -> None:
    """The value, the range and an example."""
    assert chanterd.refused("serve", "--no-open", option, value) == (
        f"The port --port is '{value}'; it must be a whole number from 0 to 65535, such as 8437."
    )


def test_a_port_in_use_is_refused(chanterd: Commands) -> None:
    """By another program, or by the daemon running already."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        said = chanterd.refused("serve", "--no-open", "--port", port, "--data", chanterd.data)
    assert said.startswith(f"chanterd cannot use port {port}: it is taken. Is chanterd running already?")


def test_a_data_folder_that_cannot_be_used_is_reported_before_anything_starts(chanterd: Commands, take: Path) -> None:
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
def test_an_unknown_input_is_refused(chanterd: Commands, source: str, said: str) -> None:
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


def test_the_log_has_times_unless_the_journal_adds_them() -> None:
    """Systemd sets JOURNAL_STREAM for what it runs (systemd.exec(5)), and stamps each line itself."""
    assert "asctime" in log_format({})
    assert "asctime" not in log_format({"JOURNAL_STREAM": "8:12345"})
