"""Titles in languages whose letters the standard fonts of a PDF lack."""

from collections.abc import Iterator
from pathlib import Path

import matplotlib as mpl
import pypdfium2
import pytest

from chanterd.config import ChanterdError
from chanterd.engraving import letters
from chanterd.engraving.press import sheet_pdf
from chanterd.engraving.sheet import make_sheet

WELSH = "Tŷ Ŵyn, ŷ"
POLISH = "Ćwiczenia dla Łucji"


@pytest.fixture
def folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Path]:
    """The only folder that is looked into for fonts."""
    monkeypatch.setattr(letters, "FOLDERS", (tmp_path,))
    letters.system_fonts.cache_clear()
    yield tmp_path
    letters.system_fonts.cache_clear()


@pytest.fixture
def dejavu(folder: Path) -> None:
    """A system that has DejaVu Serif, here matplotlib's copy, and a damaged font."""
    font = Path(mpl.get_data_path()) / "fonts/ttf/DejaVuSerif.ttf"
    (folder / "deep").mkdir()
    (folder / "deep" / font.name).write_bytes(font.read_bytes())
    (folder / "times.ttf").write_bytes(b"no font")


@pytest.mark.usefixtures("dejavu")
@pytest.mark.parametrize("title", [WELSH, POLISH, "Birl, ♩ = 60"])
def test_a_title_is_printed_in_a_font_that_has_its_letters(title: str) -> None:
    """And can be searched for in the PDF."""
    made = pypdfium2.PdfDocument(sheet_pdf(make_sheet(["birl from E"], title=title)))
    assert made[0].get_textpage().get_text_range().splitlines()[0] == title
    made.close()


@pytest.mark.usefixtures("folder")
def test_a_letter_that_no_font_has_is_named() -> None:
    """A PDF with holes in its title is not printed."""
    with pytest.raises(ChanterdError, match=r"^The letter 'Ł' in 'Łatwe' is in no font that this system has"):
        sheet_pdf(make_sheet(["birl from E"], title="Łatwe"))
    assert sheet_pdf(make_sheet(["birl from E"], title="Càrn, dùbailte, naïve"))


@pytest.mark.usefixtures("dejavu")
def test_what_a_damaged_font_would_have_is_not_counted_on() -> None:
    """It is passed over, not stumbled on."""
    assert set(letters.system_fonts()) == {"DejaVuSerif"}
