"""Titles in languages whose letters the standard fonts of a PDF lack."""

import pypdfium2
import pytest

from chanterd.config import ChanterdError
from chanterd.engraving import letters
from chanterd.engraving.press import sheet_pdf
from chanterd.engraving.sheet import make_sheet

WELSH = "Tŷ Ŵyn, ŷ"
POLISH = "Ćwiczenia dla Łucji"


@pytest.mark.usefixtures("dejavu")
@pytest.mark.parametrize("title", [WELSH, POLISH, "Birl, ♩ = 60"])
def test_a_title_is_printed_in_a_font_that_has_its_letters(title: str) -> None:
    """And can be searched for in the PDF."""
    made = pypdfium2.PdfDocument(sheet_pdf(make_sheet(["birl from E"], title=title)))
    assert made[0].get_textpage().get_text_range().splitlines()[0] == title
    made.close()


@pytest.mark.usefixtures("font_folder")
def test_a_letter_that_no_font_has_is_named() -> None:
    """A PDF with holes in its title is not printed."""
    with pytest.raises(ChanterdError, match=r"^No font on this system .* the letter 'Ł' in 'Łatwe'"):
        sheet_pdf(make_sheet(["birl from E"], title="Łatwe"))
    assert sheet_pdf(make_sheet(["birl from E"], title="Càrn, dùbailte, naïve"))


@pytest.mark.usefixtures("dejavu")
def test_what_a_damaged_font_would_have_is_not_counted_on() -> None:
    """It is passed over, not stumbled on."""
    assert set(letters.system_fonts()) == {"DejaVuSerif"}
