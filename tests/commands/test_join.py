"""``chanterd join``: the program, with a class beside it."""

import contextlib
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median

import pytest

from chanterd.commands.join import Place, place_of
from chanterd.config import ChanterdError
from chanterd.hearing.inputs import open_input
from chanterd.music.note import Note
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import Grant, Role
from tests.serving.running_daemon import PATIENCE_S, Viewing, ask, served, wait_until

LAN = "127.0.0.2"


@pytest.mark.parametrize(
    ("words", "page", "code"),
    [
        ("192.0.2.7", "http://192.0.2.7:8437/", None),
        ("192.0.2.7:9000", "http://192.0.2.7:9000/", None),
        ("http://192.0.2.7:9000/enter?code=7K2M-9XQ4-TBD5W", "http://192.0.2.7:9000/", "7K2M-9XQ4-TBD5W"),
        ("https://[2001:db8::7]:9000/", "https://[2001:db8::7]:9000/", None),
    ],
)
def test_an_address_may_be_typed_or_copied(words: str, page: str, code: str | None) -> None:
    """The line that the class printed has the code in it."""
    assert place_of(words) == Place(page, code)


@pytest.mark.parametrize("words", ["", "ftp://192.0.2.7", "http://", "192.0.2.7:port", "192.0.2.7:99999"])
def test_what_is_no_address_is_refused(words: str) -> None:
    """With what one looks like."""
    with pytest.raises(ChanterdError, match=r"it must be like 192\.168\.1\.20:8437"):
        place_of(words)


def start(*words: str) -> "subprocess.Popen[str]":
    """The program."""
    command = [sys.executable, "-m", "chanterd.commands.main", "join", *words]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


@contextlib.contextmanager
def joined(*words: str) -> Iterator[None]:
    """The program while it runs."""
    process = start(*words)
    try:
        yield
    finally:
        process.terminate()
        process.communicate(timeout=PATIENCE_S)


def test_a_chanter_on_another_machine_plays_in_the_class(tmp_path: Path) -> None:
    """Its notes sound at the seat whose code it has, under the name it gave."""
    wire = tmp_path / "wire"
    os.mkfifo(wire)
    with (
        served(tmp_path, [open_input("demo"), open_input("join")], Network([LAN])) as (here, daemon),
        Viewing(here) as viewing,
    ):
        code = daemon.entrance.grants.code_of(Grant(Role.SEAT, "2"))
        address = daemon.entrance.listeners[0].page
        with (
            joined(address, "--code", code, "--input", f"raw:{wire}", "--name", "Ailsa"),
            wire.open("wb", buffering=0) as chanter,
        ):
            viewing.wait_for(
                lambda one: (
                    one["kind"] == "chanter" and one["seat"] == "2" and one["chanter"]["said"].endswith("has joined.")
                )
            )
            for note in Note:
                chanter.write(bytes([0x90, note.midi, 64]))
                assert viewing.wait_for_kind("note", -1, seat="2")["seat"] == "2"
        assert {one["note"] for one in viewing.of("note")} <= {None, *(note.words for note in Note)}
        assert daemon.seat("2").player.name == "Ailsa"


def test_a_class_can_be_tried_without_chanters(tmp_path: Path) -> None:
    """A simulated player on another machine plays what is practised here, and is judged as one in the room would be."""
    with served(tmp_path, [open_input("demo"), open_input("join")], Network([LAN])) as (here, daemon):
        way = daemon.entrance.way_in(Grant(Role.SEAT, "2")) or ""
        with joined(way, "--input", "demo", "--name", "Ailsa"), Viewing(here) as viewing:
            wait_until(lambda: not daemon.seat("2").away)
            ask(here, "POST", "api/class", {"drill": "grip from B to C", "click_bpm": 160}).raise_for_status()
            viewing.wait_for(
                lambda one: one["kind"] == "rep" and one["seat"] == "2" and one["rep"] == 2 and one["final"]
            )
            steps = [step for rep in viewing.of("rep") if rep["seat"] == "2" for step in rep["steps"]]
            assert sum(step["state"] == "played" for step in steps) > len(steps) / 2
            off = [abs(step["deviation_ms"]) for step in steps if step["deviation_ms"] is not None]
            assert median(off) < 60


def test_a_wrong_code_and_a_class_that_is_not_there_are_said_in_a_sentence(tmp_path: Path) -> None:
    """Exit code 2, and nothing but the sentence."""
    with served(tmp_path, [open_input("demo")], Network([LAN])) as (_, daemon):
        address = daemon.entrance.listeners[0].page
        for words, said in (
            (["--code", "7K2M"], f"The code '7K2M' opens nothing at {address}; ask your teacher for the right one."),
            ([], f"The class at {address} does not let you in. You need the code of your seat; add --code."),
        ):
            process = start(address, "--input", "demo", *words)
            assert (process.communicate(timeout=PATIENCE_S)[1], process.returncode) == (f"chanterd: {said}\n", 2)
    process = start(address, "--input", "demo", "--code", "7K2M")
    assert "cannot be reached (" in process.communicate(timeout=PATIENCE_S)[1]
    assert process.returncode == 2
