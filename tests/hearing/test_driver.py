"""What a computer without MIDI drivers says, and that it says it in our words only."""

import importlib
import os
import subprocess
import sys
from collections.abc import Iterator
from types import ModuleType

import pytest

from chanterd.hearing import driver
from chanterd.hearing.driver import API_NAMED, apis_here, no_driver, open_client
from tests.jack_server import JackServer


@pytest.fixture
def fresh_library() -> Iterator[None]:
    """The library is looked for again, before and after the test."""
    driver.library.cache_clear()
    yield
    driver.library.cache_clear()


def only(monkeypatch: pytest.MonkeyPatch, *names: str) -> None:
    """Make a machine where only these modules can be imported."""

    def import_module(name: str) -> ModuleType:
        if name in names:
            return ModuleType(name)
        raise ImportError(f"No module named '{name}'")

    monkeypatch.setattr(importlib, "import_module", import_module)


@pytest.mark.parametrize(
    ("platform", "names", "mend"),
    [
        ("linux", ["ALSA", "JACK"], "modprobe snd-seq"),
        ("darwin", ["CoreMIDI"], "Audio MIDI Setup"),
        ("win32", ["WinMM"], "Windows Audio"),
        ("sunos5", [], "'sunos5'"),
    ],
)
def test_the_mend_fits_the_platform(
    platform: str, names: list[str], mend: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each system gets its own remedy, and what works without any."""
    monkeypatch.setattr(sys, "platform", platform)
    assert [api.name for api in apis_here()] == names
    assert mend in no_driver()
    assert "'demo'" in no_driver()


@pytest.mark.usefixtures("fresh_library")
def test_a_library_that_does_not_load_is_reported(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without any MIDI library the reason and the packages to install are named, and opening is an ordinary error."""
    only(monkeypatch)
    assert "No module named 'rtmidi'" in no_driver()
    assert "libasound2" in no_driver()
    with pytest.raises(OSError, match="rtmidi"):
        open_client(API_NAMED["JACK"])


@pytest.mark.usefixtures("fresh_library")
@pytest.mark.parametrize(("there", "taken"), [(("rtmidi", "rtmidi2"), "rtmidi"), (("rtmidi2",), "rtmidi2")])
def test_either_library_serves(there: tuple[str, ...], taken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """python-rtmidi is preferred; where there is none, as from Python 3.13 on, rtmidi2 is taken."""
    only(monkeypatch, *there)
    assert driver.library().__name__ == taken


def test_a_driver_that_is_not_there_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """JACK without a server cannot be opened, with either library."""
    monkeypatch.setenv("JACK_DEFAULT_SERVER", "nobody")
    with pytest.raises(OSError, match="not running"):
        open_client(API_NAMED["JACK"])


def test_a_driver_that_is_there_opens(jack_server: JackServer) -> None:
    """With a server, JACK can be opened, and asked for its ports."""
    assert jack_server.name
    client = open_client(API_NAMED["JACK"])
    assert isinstance(client.ports(), list)
    client.close()


def test_missing_drivers_leave_the_terminal_clean() -> None:
    """What C libraries print about drivers that are not there does not reach the user's terminal."""
    look = "from chanterd.hearing.ports import list_ports; print(list_ports())"
    environment = {**os.environ, "JACK_DEFAULT_SERVER": "nobody"}
    done = subprocess.run(
        [sys.executable, "-c", look], env=environment, capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stderr == ""
    assert done.stdout.startswith("[")
