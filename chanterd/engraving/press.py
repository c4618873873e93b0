"""A sheet in the form in which it leaves the house: PDF or SVG pages, made without a browser.

Everything is made in memory, so that nothing half-written is left anywhere.
"""

from io import BytesIO
from xml.etree import ElementTree as ET

from reportlab.graphics import renderPDF
from reportlab.pdfgen.canvas import Canvas
from svglib.svglib import svg2rlg

from chanterd.engraving.letters import check_letters, use_fonts_that_have
from chanterd.engraving.marks import MM_PER_POINT
from chanterd.engraving.pages import Progress, sheet_pages
from chanterd.engraving.sheet import Sheet


def quiet(_done: int, _of: int) -> None:
    """For callers that do not follow the progress."""


def sheet_svg(sheet: Sheet, progress: Progress = quiet) -> list[str]:
    """A text for each page."""
    return [ET.tostring(page, encoding="unicode") for page in sheet_pages(sheet, progress)]


def sheet_pdf(sheet: Sheet, progress: Progress = quiet) -> bytes:
    """One file with all pages; the same sheet gives the same bytes.

    Raises ChanterdError if the title or an ornament's name has letters that no font here has.
    """
    for words in (sheet.title, *(line.drill.words for line in sheet.lines)):
        check_letters(words)  # before the long work
    lines = len(sheet.lines)
    pages = sheet_pages(sheet, lambda done, _of: progress(done, 2 * lines))
    file = BytesIO()
    paper = (sheet.paper.width / MM_PER_POINT, sheet.paper.height / MM_PER_POINT)
    canvas = Canvas(file, pagesize=paper, pageCompression=1, invariant=1)
    canvas.setTitle(sheet.title)
    canvas.setCreator("chanterd")
    for page in pages:
        use_fonts_that_have(page)
    for number, page in enumerate(pages, start=1):
        renderPDF.draw(svg2rlg(BytesIO(ET.tostring(page))), canvas, 0, 0)
        canvas.showPage()
        progress(lines + lines * number // len(pages), 2 * lines)
    canvas.save()
    return file.getvalue()
