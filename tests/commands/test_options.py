"""What several commands share: the folder of what is written, the port, files written whole."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.commands.options import data_folder, port_number, whole_number, write_out
from chanterd.config import ChanterdError


def test_a_data_folder_is_made_when_it_is_to_be_written_to(tmp_path: Path) -> None:
    """And not when it is only read."""
    assert not data_folder(tmp_path / "a").exists()
    assert data_folder(tmp_path / "b", to_write=True).is_dir()


def test_a_file_is_no_data_folder(tmp_path: Path) -> None:
    """It is said before anything starts."""
    (tmp_path / "file").write_text("")
    with pytest.raises(ChanterdError, match="data folder cannot be written"):
        data_folder(tmp_path / "file", to_write=True)


@pytest.mark.parametrize("words", ["-1", "65536", "8437.0", "http", ""])
def test_a_port_is_a_whole_number_that_tcp_knows(words: str) -> None:
    """0 to 65535 (RFC 9293: the field has 16 bits)."""
    with pytest.raises(ChanterdError, match="--port"):
        port_number(words)
    assert [port_number(str(port)) for port in (0, 65535)] == [0, 65535]


@pytest.mark.parametrize("words", ["0", "13", "1.5", "-1", "one", "", "9" * 5000])
def test_a_whole_number_is_reported_with_its_range(words: str) -> None:
    """Both ends are in it; what is too long to be read is refused like the rest."""
    assert [whole_number("row --in-a-row", one, 1, 12, 3) for one in ("1", "12")] == [1, 12]
    with pytest.raises(ChanterdError) as refused:
        whole_number("row --in-a-row", words, 1, 12, 3)
    assert str(refused.value) == (
        f"The row --in-a-row is '{words}'; it must be a whole number from 1 to 12, such as 3."
    )


def test_a_file_is_written_over_another_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    """Piece by piece."""
    out = tmp_path / "all.json"
    out.write_bytes(b"old")
    write_out(out, [b"new ", b"one"])
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"all.json": b"new one"}


@pytest.mark.parametrize(
    "broken", [ChanterdError("The history cannot be read."), KeyboardInterrupt(), OSError(28, "x")]
)
def test_what_breaks_off_half_way_leaves_the_old_file_as_it_was(tmp_path: Path, broken: BaseException) -> None:
    """A database that fails, Ctrl-C, a full disk: no half of the new one, and no part of it beside the old one."""

    def pieces() -> Iterator[bytes]:
        yield b"half of"
        raise broken

    out = tmp_path / "all.json"
    out.write_bytes(b"old")
    with pytest.raises((ChanterdError, KeyboardInterrupt)):
        write_out(out, pieces())
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"all.json": b"old"}


def test_a_file_below_a_file_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """There is no such folder, and so no part of it to take away."""
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(ChanterdError, match=r"all\.json: cannot be written \(Not a directory\); choose another with"):
        write_out(tmp_path / "file" / "all.json", [b"x"])
