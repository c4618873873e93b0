"""What several commands share: the folder of what is written, the port."""

from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.options import data_folder, port_number


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
