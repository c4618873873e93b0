"""Fixtures that more than one room of tests needs."""

from collections.abc import Iterator
from pathlib import Path

import matplotlib as mpl
import pytest
from hypothesis import settings

from chanterd.engraving import letters
from tests.jack_server import JackServer, VirtualChanter

# A property is no timed test: a busy machine may take longer over an example.
settings.register_profile("chanterd", deadline=None)
settings.load_profile("chanterd")


@pytest.fixture(scope="session")
def jack_server() -> Iterator[JackServer]:
    """A JACK server for the whole session; its ``env`` is for subprocesses, this process is pointed at it already."""
    with JackServer() as server:
        yield server


@pytest.fixture
def virtual_chanter(jack_server: JackServer) -> Iterator[VirtualChanter]:
    """A chanter in another process, plugged into that server; ``--input`` takes its ``port``."""
    assert jack_server.name
    with VirtualChanter() as chanter:
        yield chanter


@pytest.fixture
def font_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Path]:
    """The only folder that is looked into for fonts."""
    folder = tmp_path / "fonts"
    folder.mkdir()
    monkeypatch.setattr(letters, "FOLDERS", (folder,))
    letters.system_fonts.cache_clear()
    yield folder
    letters.system_fonts.cache_clear()


@pytest.fixture
def dejavu(font_folder: Path) -> None:
    """A system that has DejaVu Serif, here matplotlib's copy, and a damaged font."""
    font = Path(mpl.get_data_path()) / "fonts/ttf/DejaVuSerif.ttf"
    (font_folder / "deep").mkdir()
    (font_folder / "deep" / font.name).write_bytes(font.read_bytes())
    (font_folder / "times.ttf").write_bytes(b"no font")
