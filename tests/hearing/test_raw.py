"""Reading MIDI bytes from FIFOs and files: stamps, coming, going and coming back."""

import itertools
import os
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.hearing import raw
from chanterd.hearing.raw import RawSource
from tests.hearing.listener import Listener


def open_files() -> set[str]:
    """The file descriptors of this process."""
    return {path.name for path in Path("/dev/fd").iterdir()}


@pytest.fixture
def fifo(tmp_path: Path) -> Path:
    """A FIFO to write MIDI bytes to."""
    path = tmp_path / "chanter"
    os.mkfifo(path)
    return path


@pytest.fixture
def heard(fifo: Path) -> Iterator[Listener]:
    """Listens to that FIFO; its clock counts the reads."""
    listener, clock = Listener(), itertools.count(1)
    source = RawSource(fifo, clock=lambda: next(clock))
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["waiting"])
    yield listener
    source.stop()


def test_messages_are_stamped_as_they_are_read(fifo: Path, heard: Listener) -> None:
    """All messages of one read carry one stamp, the next read the next; running status goes on between reads."""
    with fifo.open("wb", buffering=0) as chanter:
        chanter.write(b"\x90\x43\x40\x43\x00")
        heard.wait_for(lambda: len(heard.messages) == 2)
        chanter.write(b"\x45\xf8\x40")
        heard.wait_for(lambda: len(heard.messages) == 4)
    assert [(message.hex(), at_ns) for message, at_ns in heard.messages] == [
        ("90 43 40", 1),
        ("90 43 00", 1),
        ("F8", 2),
        ("90 45 40", 2),
    ]


def test_a_writer_that_leaves_is_reported_and_heard_again_when_back(fifo: Path, heard: Listener) -> None:
    """Waiting, ready, gone, ready: each reported once, and what the first writer left cut off is not continued."""
    with fifo.open("wb", buffering=0) as chanter:
        chanter.write(b"\x90\x43\x40\x90\x45")
        heard.wait_for(lambda: heard.states == ["waiting", "ready"])
    heard.wait_for(lambda: heard.states[-1] == "gone")
    assert "start it again to go on" in heard.statuses[-1].said
    with fifo.open("wb", buffering=0) as chanter:
        chanter.write(b"\x40\x90\x47\x40")
        heard.wait_for(lambda: len(heard.messages) == 2)
    heard.wait_for(lambda: len(heard.states) == 5)
    assert heard.states == ["waiting", "ready", "gone", "ready", "gone"]
    assert [message.hex() for message, _ in heard.messages] == ["90 43 40", "90 47 40"]


def test_nothing_is_said_again_and_again(fifo: Path, heard: Listener) -> None:
    """Neither while nobody writes, nor of a program that opens the path for each note."""
    threading.Event().wait(4 * raw.RETRY_S)
    assert heard.states == ["waiting"]
    for _ in range(5):
        with fifo.open("wb", buffering=0) as chanter:
            chanter.write(b"\x90\x43\x40")
        threading.Event().wait(raw.RETRY_S)
    assert heard.states == ["waiting", "ready"]
    heard.wait_for(lambda: heard.states[-1] == "gone")
    threading.Event().wait(4 * raw.RETRY_S)
    assert heard.states == ["waiting", "ready", "gone"]


@pytest.mark.parametrize("heard_before", [False, True])
@pytest.mark.parametrize("at_once", [False, True])
def test_a_fifo_that_is_deleted_and_made_again_is_heard(
    fifo: Path, heard: Listener, *, heard_before: bool, at_once: bool
) -> None:
    """Whether somebody wrote before or not, and whether its name was free for a while or not."""
    if heard_before:
        with fifo.open("wb", buffering=0) as chanter:
            chanter.write(b"\x90\x43\x40")
            heard.wait_for(lambda: len(heard.messages) == 1)
    if at_once:
        os.mkfifo(fifo.with_name("next"))
        fifo.with_name("next").rename(fifo)
    else:
        fifo.unlink()
        threading.Event().wait(2 * raw.RETRY_S)
        os.mkfifo(fifo)
    with fifo.open("wb", buffering=0) as chanter:  # waits until somebody reads it
        chanter.write(b"\x90\x47\x40")
        heard.wait_for(lambda: heard.messages[-1:] != [] and heard.messages[-1][0].hex() == "90 47 40")


def test_a_hundred_writers_one_after_the_other_lose_nothing(
    fifo: Path, heard: Listener, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each opens, writes one note and goes; the reader is never away, not even for the pause between two tries."""
    monkeypatch.setattr(raw, "RETRY_S", 3600)
    before = len(open_files())
    for note in range(100):
        with fifo.open("wb", buffering=0) as chanter:
            chanter.write(bytes([0x90, note, 64]))
    heard.wait_for(lambda: len(heard.messages) == 100)
    assert [message.note for message, _ in heard.messages] == list(range(100))
    assert len(open_files()) <= before + 1, "each time it was opened again, the last one was closed"


def test_a_path_that_is_not_there_yet_is_waited_for(tmp_path: Path) -> None:
    """It says what to do, and reads as soon as the path is there."""
    listener, path = Listener(), tmp_path / "later"
    source = RawSource(path)
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["waiting"])
    assert listener.statuses[0].said == (
        f"{path} cannot be read (No such file or directory). Plug the chanter in, or check the path."
    )
    os.mkfifo(path)
    with path.open("wb", buffering=0) as chanter:
        chanter.write(b"\x90\x43\x40")
        listener.wait_for(lambda: len(listener.messages) == 1)
    source.stop()


def test_a_device_that_is_pulled_is_gone_and_read_again_when_it_is_back(tmp_path: Path) -> None:
    """A terminal replaces a MIDI device: its other end is closed, so that reading fails; then it comes back."""
    listener, path = Listener(), tmp_path / "midi1"
    chanter, device = os.openpty()
    path.symlink_to(os.ttyname(device))
    source = RawSource(path)
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["ready"])
    os.close(device)
    os.close(chanter)
    listener.wait_for(lambda: listener.states[-1] == "gone")
    path.unlink()
    os.mkfifo(path)
    with path.open("wb", buffering=0) as back:
        back.write(b"\x90\x47\x40")
        listener.wait_for(lambda: listener.states[-1] == "ready")
    source.stop()
    assert listener.states[:3] == ["ready", "gone", "ready"]


def test_a_file_of_bytes_ends(tmp_path: Path) -> None:
    """A plain file is read once, to its end."""
    listener, path = Listener(), tmp_path / "bytes"
    path.write_bytes(b"\x90\x43\x40")
    source = RawSource(path)
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["ready", "ended"])
    source.stop()
    assert [message.hex() for message, _ in listener.messages] == ["90 43 40"]


def test_stopping_interrupts_a_read_that_waits(fifo: Path) -> None:
    """Stop returns though nobody ever wrote, may be called twice, and leaves no thread and no open file behind."""
    before = open_files()
    listener, source = Listener(), RawSource(fifo)
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["waiting"])
    source.stop()
    source.stop()
    assert not [thread for thread in threading.enumerate() if thread.name == str(fifo)]
    assert open_files() == before


def test_a_source_never_started_closes_what_it_opened(fifo: Path) -> None:
    """Stopping before starting is harmless."""
    before = open_files()
    RawSource(fifo).stop()
    assert open_files() == before
