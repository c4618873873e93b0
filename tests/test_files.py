"""Files are read within bounds and written whole or not at all; a damaged one is set aside, never overwritten."""

import logging
import os
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.files import KeptFile, read_file, set_aside, write_whole

DAMAGED = {
    "empty": b"",
    "cut": b'{"demo": "An',
    "no JSON": b"\x00\xff\xfe",
    "no object": b"[1, 2]",
    "wrong value": b'{"demo": 3}',
    "nested": b'{"demo":' * 20_000,
    "brackets": b"[" * 100_000,
    "digits": b'{"demo": ' + b"9" * 5000 + b"}",
    "half a letter": b'{"demo": "\\ud800"}',
    "too long": b'{"demo": "' + b"a" * 2_000_000 + b'"}',
}


def kept(path: Path) -> KeptFile[dict[str, str]]:
    """A file of texts by name."""
    return KeptFile(path, dict[str, str], {})


def test_what_is_written_is_read_at_the_next_start(tmp_path: Path) -> None:
    """In a folder that is made if it is not there; nothing else is left behind."""
    path = tmp_path / "new" / "seats.json"
    kept(path).write({"demo": "Anna"}, "make room")
    assert kept(path).content == {"demo": "Anna"}
    assert [one.name for one in path.parent.iterdir()] == ["seats.json"]


@pytest.mark.parametrize("damage", DAMAGED.values(), ids=DAMAGED)
def test_a_damaged_file_is_set_aside_and_named(tmp_path: Path, damage: bytes, caplog: pytest.LogCaptureFixture) -> None:
    """The start goes on; what was in it is kept under another name, twice if need be."""
    path = tmp_path / "seats.json"
    for name in ("seats.json.damaged", "seats.json.damaged-2"):
        path.write_bytes(damage)
        with caplog.at_level(logging.WARNING):
            assert kept(path).content == {}
        assert f"seats.json is now called {name}" in caplog.text
        assert (tmp_path / name).read_bytes() == damage
        assert not path.exists()
    kept(path).write({"demo": "Anna"}, "make room")
    assert kept(path).content == {"demo": "Anna"}


@pytest.mark.parametrize("kind", ["pipe", "folder", "device", "nowhere"])
def test_what_is_no_file_is_set_aside_at_once(tmp_path: Path, kind: str) -> None:
    """A pipe without a writer does not hold up the start."""
    path, began = tmp_path / "seats.json", time.monotonic()
    if kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    else:
        path.symlink_to("/dev/zero" if kind == "device" else tmp_path / "gone")
    assert kept(path).content == {}
    assert os.path.lexists(tmp_path / "seats.json.damaged")
    assert time.monotonic() - began < 2


def test_a_damaged_file_that_cannot_be_set_aside_is_not_overwritten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Writing is refused with a sentence until it can be moved."""
    path = tmp_path / "seats.json"
    path.write_bytes(b"{")

    def refused(*_: object) -> Path:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "rename", refused)
        file = kept(path)
        with pytest.raises(ChanterdError, match=r"is damaged and cannot be set aside; move it away yourself, or make"):
            file.write({"demo": "Anna"}, "make room")
        assert path.read_bytes() == b"{"
    file.write({"demo": "Anna"}, "make room")
    assert kept(path).content == {"demo": "Anna"}
    assert (tmp_path / "seats.json.damaged").read_bytes() == b"{"


def test_nobody_s_place_is_taken(tmp_path: Path) -> None:
    """Not even that of a link to nowhere."""
    path = tmp_path / "a.json"
    path.write_text("new")
    (tmp_path / "a.json.damaged").symlink_to(tmp_path / "gone")
    assert set_aside(path).name == "a.json.damaged-2"


def test_a_file_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    """If the work breaks off, what was there before is still there, and no half of a file."""
    path = tmp_path / "take.mid"
    write_whole(path, [b"one", b"two"], "choose another with --out")
    assert path.read_bytes() == b"onetwo"

    def broken() -> Iterator[bytes]:
        yield b"three"
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_whole(path, broken(), "choose another with --out")
    assert path.read_bytes() == b"onetwo"
    assert [one.name for one in tmp_path.iterdir()] == ["take.mid"]


def test_what_is_written_is_on_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file before it takes its name, and its folder after it: a power cut leaves the old one or the new one."""
    order: list[str] = []
    replace = Path.replace

    def renamed(part: Path, path: Path) -> Path:
        order.append("name")
        return replace(part, path)

    monkeypatch.setattr(os, "fsync", lambda _: order.append("sync"))
    monkeypatch.setattr(Path, "replace", renamed)
    write_whole(tmp_path / "a", [b"a"], "try again")
    assert order == ["sync", "name", "sync"]


def test_what_cannot_be_written_is_said(tmp_path: Path) -> None:
    """With the system's reason and the mend."""
    with pytest.raises(ChanterdError, match=r"cannot be written \(No such file .*\); choose another folder\."):
        write_whole(tmp_path / "no" / "a", [b"a"], "choose another folder")


def test_reading_is_bounded(tmp_path: Path) -> None:
    """A file too long, one that is not there, a pipe: a sentence each; one of just that length is read."""
    path = tmp_path / "a"
    path.write_bytes(b"12345")
    assert read_file(path, 5) == b"12345"
    with pytest.raises(ChanterdError, match=r"is longer than the 4 bytes allowed"):
        read_file(path, 4)
    with pytest.raises(ChanterdError, match=r"cannot be read \(No such file or directory\); check the name"):
        read_file(tmp_path / "b", 5)
    os.mkfifo(tmp_path / "c")
    with pytest.raises(ChanterdError, match=r"is a pipe or a device"):
        read_file(tmp_path / "c", 5)
    with pytest.raises(ChanterdError, match=r"cannot be read"):
        read_file(Path("a\0b"), 5)
