"""The sheets that we print, as another reader sees them.

Source: PDFium, a general PDF reader and renderer, through pypdfium2. Paper: A4 210 x 297 mm (ISO 216), Letter 8.5 x 11
inches (ANSI/ASME Y14.1), both from memory; a default unit of a PDF is 1/72 inch (ISO 32000-1, 8.3.2.3).
"""

import numpy as np
import pypdfium2
import pytest

from chanterd.engraving.pages import CAUTION
from chanterd.engraving.press import sheet_pdf, sheet_svg
from chanterd.engraving.sheet import Sheet, make_sheet

DOTS_PER_MM = 10
MARGIN_MM = 10


@pytest.fixture(scope="module", params=[("a4", 210.0, 297.0), ("letter", 215.9, 279.4)], ids=lambda p: str(p[0]))
def printed(request: pytest.FixtureRequest) -> tuple[Sheet, pypdfium2.PdfDocument, float, float]:
    """A sheet, the reader's view of it, and the paper's width and height in mm."""
    name, width, height = request.param
    sheet = make_sheet(["birl", "grip to C"], stages=True, tempo="60-80", title="Càrn: birls & grips", paper=name)
    return sheet, pypdfium2.PdfDocument(sheet_pdf(sheet)), width, height


def test_pages_and_their_size(printed: tuple[Sheet, pypdfium2.PdfDocument, float, float]) -> None:
    """As many pages as there are SVG pages, each of the paper's size."""
    sheet, document, width, height = printed
    assert len(document) == len(sheet_svg(sheet)) > 1
    for page in document:
        assert page.get_size() == pytest.approx((width / 25.4 * 72, height / 25.4 * 72), abs=0.1)


def test_words_can_be_read_and_searched(printed: tuple[Sheet, pypdfium2.PdfDocument, float, float]) -> None:
    """Title, captions, spelling, tempi, caution and page numbers are text, in the PDF's own letters."""
    sheet, document, *_ = printed
    pages = [page.get_textpage().get_text_bounded() for page in document]
    assert all(words.count("Càrn: birls & grips") == 1 and CAUTION in words for words in pages)
    assert all(f"{number} of {len(pages)}" in words for number, words in enumerate(pages, start=1))
    everything = "\n".join(pages)
    for line in sheet.lines:
        assert line.drill.words in everything
        assert line.drill.spelled in everything
    assert document.get_metadata_dict()["Title"] == sheet.title


def test_margins_are_clean_and_staves_seven_millimetres_high(
    printed: tuple[Sheet, pypdfium2.PdfDocument, float, float],
) -> None:
    """Drawn at ten dots to the millimetre: no ink near the edges, and staff lines 1.75 mm apart, five to a staff."""
    sheet, document, width, _ = printed
    picture = document[0].render(scale=DOTS_PER_MM * 25.4 / 72, grayscale=True).to_numpy().squeeze()
    ink = picture < 128
    edge = MARGIN_MM * DOTS_PER_MM
    assert not ink[:edge].any()
    assert not ink[-edge:].any()
    assert not ink[:, :edge].any()
    assert not ink[:, -edge:].any()
    long = np.flatnonzero(ink.sum(axis=1) > (width - 2 * sheet.paper.margin) * DOTS_PER_MM * 0.9)
    starts = long[np.flatnonzero(np.diff(long, prepend=-9) > 1)]
    assert len(starts) % 5 == 0
    staves = starts.reshape(-1, 5)
    assert len(staves) >= 5
    assert np.diff(staves, axis=1) / DOTS_PER_MM == pytest.approx(np.full((len(staves), 4), 1.75), abs=0.11)
