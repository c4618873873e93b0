"""A report as a PDF, made without a browser. The same report with the same fonts gives the same bytes."""

from collections.abc import Iterator
from io import BytesIO
from typing import Any

from reportlab.graphics.shapes import Drawing, Line, Rect, String
from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import KeepTogether, ListFlowable, ListItem, Paragraph, SimpleDocTemplate, Spacer, TableStyle
from reportlab.platypus import Table as Grid

from chanterd.engraving.letters import check_letters, font_for, is_standard
from chanterd.engraving.paper import Paper
from chanterd.progress.report import Report
from chanterd.progress.resolution import Grain, days_between
from chanterd.progress.section import Section, Table
from chanterd.progress.words import day_words

FONT, FOOT_SIZE = "Helvetica", 8.5
MEND = "print the report from the page"
"""What to do about a letter that no font has."""
INK, QUIET, RULE = colors.HexColor("#1d2227"), colors.HexColor("#596067"), colors.HexColor("#b9b3a6")
BAR = colors.HexColor("#0b5d66")
PLAIN = ParagraphStyle("plain", fontName=FONT, fontSize=10.5, leading=14, textColor=INK)
CELL = ParagraphStyle("cell", PLAIN, fontSize=9.5, leading=12)
HEAD = ParagraphStyle("head", CELL, textColor=QUIET)
HEADING = ParagraphStyle("heading", PLAIN, fontName="Times-Bold", fontSize=14, leading=17, spaceBefore=12, spaceAfter=3)
TITLE = ParagraphStyle("title", PLAIN, fontName="Times-Bold", fontSize=22, leading=26)
WHOSE = ParagraphStyle("whose", PLAIN, fontSize=13, leading=17)
SMALL = ParagraphStyle("small", PLAIN, fontSize=8.5, leading=11, textColor=QUIET, spaceBefore=2)
HIGHEST = {Grain.WEEK: 7, Grain.MONTH: 31}
DAYS_OF = {Grain.DAY: 1.0, Grain.WEEK: 7.0, Grain.MONTH: 30.4}
AXIS = {Grain.DAY: "minutes each day", Grain.WEEK: "days in each week", Grain.MONTH: "days in each month"}
GAP = 14.0
"""Points between two columns."""
PICTURE_MM = 28.0
CLEAR = 6.0
"""Points that reportlab's frames keep clear on either side."""


def report_pdf(report: Report, paper: Paper) -> bytes:
    """The pages as one file. Raises ChanterdError if a name in it has a letter that no font on this system has."""
    for words in _texts(report):
        check_letters(words, MEND)
    file = BytesIO()
    document = SimpleDocTemplate(
        file,
        pagesize=(paper.width * mm, paper.height * mm),
        leftMargin=paper.margin * mm,
        rightMargin=paper.margin * mm,
        topMargin=paper.head * mm,
        bottomMargin=(paper.foot + 6) * mm,
        title=f"{report.title}: {report.name}",
        creator="chanterd",
        author="",
        invariant=1,
    )

    def foot(canvas: Canvas, _: Any) -> None:  # noqa: ANN401 - reportlab's own document
        canvas.setFont(FONT if is_standard(report.name) else font_for(report.name), FOOT_SIZE)
        canvas.setFillColor(QUIET)
        canvas.drawString(paper.margin * mm + CLEAR, paper.foot * mm, f"{report.name}, {report.days}")
        canvas.setFont(FONT, FOOT_SIZE)
        canvas.drawRightString(
            (paper.width - paper.margin) * mm - CLEAR, paper.foot * mm, f"page {canvas.getPageNumber()}"
        )

    document.build(_story(report, paper.inner_width * mm - 2 * CLEAR), onFirstPage=foot, onLaterPages=foot)
    return file.getvalue()


def _story(report: Report, width: float) -> list[Any]:
    whose = f"<b>{_plain(report.name)}</b>" + (f", {report.days}" if report.days else "")
    story: list[Any] = [Paragraph(report.title, TITLE), Paragraph(whose, WHOSE)]
    for number, section in enumerate(report.sections):
        picture = [_picture(report, width)] if number == 0 and report.practice else []
        story += _section(section, width, picture)
    return [*story, Spacer(0, 10), *(Paragraph(_plain(note), SMALL) for note in report.notes)]


def _section(section: Section, width: float, picture: list[Any]) -> list[Any]:
    heading = Paragraph(_plain(section.heading), HEADING)
    said: list[Any] = [Paragraph(_plain(one), PLAIN) for one in section.said]
    if section.listed:
        said = [ListFlowable([ListItem(one) for one in said], bulletType="bullet", start="•", leftIndent=12)]
    body = [*said, *picture]
    if section.table is None:
        return [KeepTogether([heading, *body])]
    return [KeepTogether([heading, *body[:1]]), *body[1:], _table(section.table, width)]


def _table(table: Table, width: float) -> Grid:
    rows = [[Paragraph(_plain(name), HEAD) for name in table.columns]]
    rows += [[Paragraph(_plain(cell), CELL) for cell in row] for row in table.rows]
    grid = Grid(rows, colWidths=_widths(table, width), repeatRows=1)
    grid.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LINEBELOW", (0, 0), (-1, -1), 0.4, RULE),
                ("LEFTPADDING", (0, 0), (0, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
            ]
        )
    )
    return grid


def _widths(table: Table, width: float) -> list[float]:
    """Widths in proportion to the longest text of each column."""
    rows = (table.columns, *table.rows)
    needed = [
        max(stringWidth(row[at], CELL.fontName, CELL.fontSize) for row in rows) + GAP for at in range(len(rows[0]))
    ]
    return [need * (width / sum(needed)) for need in needed]


def _picture(report: Report, width: float) -> Drawing:
    """How much was practised, as bars."""
    assert report.first_day is not None  # noqa: S101 - there is practice, so there are days
    assert report.last_day is not None  # noqa: S101
    high = PICTURE_MM * mm
    first = min(report.first_day, report.practice[0].day)
    days = days_between(first, report.last_day)
    by_day = report.grain is Grain.DAY
    values = [one.minutes if by_day else float(one.days) for one in report.practice]
    top = max(values) if by_day else HIGHEST[report.grain]
    base, room = 14.0, high - 30.0
    one_day = width / days
    bar = max(one_day * DAYS_OF[report.grain] * 0.75, 0.8)
    drawing = Drawing(width, high)
    drawing.add(String(0, high - 9, _axis_words(report.grain, top), fontName=FONT, fontSize=8.5, fillColor=QUIET))
    for point, value in zip(report.practice, values, strict=True):
        x = (days_between(first, point.day) - 1) * one_day
        drawing.add(
            Rect(x, base, min(bar, width - x), max(room * value / (top or 1), 0.5), fillColor=BAR, strokeColor=None)
        )
    drawing.add(Line(0, base, width, base, strokeColor=RULE, strokeWidth=0.8))
    for day, x, anchor in ((report.first_day, 0, "start"), (report.last_day, width, "end")):
        words = String(x, 2, day_words(day), fontName=FONT, fontSize=8.5, fillColor=QUIET)
        words.textAnchor = anchor
        drawing.add(words)
    return drawing


def _axis_words(grain: Grain, top: float) -> str:
    return (
        f"{AXIS[grain]}; the tallest bar is {round(top)}" if grain is Grain.DAY else f"{AXIS[grain]}, of {round(top)}"
    )


def _plain(words: str) -> str:
    """Words for reportlab's paragraphs: without markup, and in a font that has their letters."""
    text = words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return text if is_standard(words) else f'<font name="{font_for(words)}">{text}</font>'


def _texts(report: Report) -> Iterator[str]:
    """All texts that may hold a name: the player's, and those of a teacher's own ornaments."""
    yield report.name
    for section in report.sections:
        yield from section.said
        for row in section.table.rows if section.table else ():
            yield from row
