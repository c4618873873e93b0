"""The unit file: what systemd would start is what was asked."""

import configparser
import shlex
import sys
from pathlib import Path

import pytest

from chanterd.commands.service import quoted, unit
from chanterd.config import ChanterdError
from tests.command_runner import Commands


@pytest.fixture
def chanterd(capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Commands:
    """The command line."""
    return Commands(capfd, monkeypatch, tmp_path / "data")


def read(text: str) -> configparser.ConfigParser:
    """The unit file, whose form is that of an INI file with ``=`` and ``#``."""
    parser = configparser.ConfigParser(delimiters=("=",), comment_prefixes=("#",), interpolation=None)
    parser.optionxform = str  # type: ignore[assignment,method-assign]  # systemd's keys have capitals
    parser.read_string(text)
    return parser


def test_it_starts_the_daemon_with_the_options_given(chanterd: Commands, tmp_path: Path) -> None:
    """By this interpreter, without opening a page, after a fault again, but not when a person has to mend something."""
    asked = ["--input", "my chanter", "--port", "8440", "--data", str(tmp_path), "--store", "postgresql://me@host/all"]
    code, out, err = chanterd.run("service", *asked)
    assert (code, err) == (0, "")
    service = read(out)["Service"]
    assert shlex.split(service["ExecStart"]) == [sys.executable, "-m", "chanterd", "serve", "--no-open", *asked]
    assert (service["Restart"], service["RestartPreventExitStatus"]) == ("on-failure", "2")
    assert read(out)["Install"]["WantedBy"] == "default.target"


def test_the_words_to_install_it_make_the_same_file_again() -> None:
    """Whoever copies the line at the top gets this file."""
    text = unit("/opt/a b/python", Path("/home/piper"), ["--input", "my chanter"])
    again = next(line for line in text.splitlines() if " > ~" in line)
    words = shlex.split(again.lstrip("# "))
    assert words[:6] == ["/opt/a b/python", "-m", "chanterd", "service", "--input", "my chanter"]


def test_signs_that_mean_something_to_systemd_are_only_signs() -> None:
    """systemd.service(5), "Command lines": % and $ are doubled, quotes and backslashes escaped."""
    assert quoted(["100%", "$HOME", 'a "b"', "c\\d"]) == r'"100%%" "$$HOME" "a \"b\"" "c\\d"'


def test_a_line_break_is_refused() -> None:
    """It would begin another line of the unit file."""
    with pytest.raises(ChanterdError, match="line break"):
        quoted(["a\nExecStart=b"])


def test_what_serve_would_refuse_is_refused(chanterd: Commands) -> None:
    """At once, and not by a service that does not start."""
    assert chanterd.refused("service", "--input", " ").startswith("The input is empty. Say 'demo', a MIDI port's name")
    code, out, err = chanterd.run("service", "--port", "http")
    assert (code, out) == (2, "")
    assert "--port is 'http'" in err
