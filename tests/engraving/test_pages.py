"""Pages: all lines, nothing over the edge, numbers, title, caution."""

import re
from xml.etree import ElementTree as ET

import pytest

from chanterd.engraving.block import line_block
from chanterd.engraving.pages import CAUTION, FOOT_HEIGHT, GAP, sheet_pages
from chanterd.engraving.press import quiet
from chanterd.engraving.sheet import Sheet, make_sheet


def texts(page: ET.Element) -> list[str]:
    """All words on a page."""
    return [one.text or "" for one in page.iter("text")]


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    """Some lines, more than a page holds."""
    return make_sheet(["birl", "taorluath"], title="Tuesday", tempo="60-80", stages=True, paper="letter")


@pytest.fixture(scope="module")
def pages(sheet: Sheet) -> list[ET.Element]:
    """Its pages."""
    return sheet_pages(sheet, quiet)


def test_every_line_is_printed_once_and_in_order(sheet: Sheet, pages: list[ET.Element]) -> None:
    """No combination is lost between two pages."""
    bold = [one.text for page in pages for one in page.iter("text") if one.get("font-weight") == "bold"]
    assert bold == [line.drill.words for line in sheet.lines]


def test_pages_are_numbered_and_carry_title_and_caution(pages: list[ET.Element]) -> None:
    """At the foot of each: how to keep hands and ears well, and which page of how many."""
    assert len(pages) > 1
    for number, page in enumerate(pages, start=1):
        assert {"Tuesday", CAUTION, f"{number} of {len(pages)}"} <= {*texts(page)}
    assert "hurts" in CAUTION
    assert "louder" in CAUTION


def test_blocks_stand_below_each_other_and_above_the_foot(sheet: Sheet, pages: list[ET.Element]) -> None:
    """None runs into the next or into the foot; pages that are not the last are filled to one height, evenly."""
    heights = iter([line_block(line, sheet.tempi, sheet.paper.inner_width).height for line in sheet.lines])
    bottom = sheet.paper.height - sheet.paper.foot - FOOT_HEIGHT
    for page in pages:
        starts = [float(re.findall(r"[\d.]+", group.get("transform", ""))[1]) for group in page.findall("g")]
        ends = [start + next(heights) for start in starts]
        gaps = [start - end for start, end in zip(starts[1:], ends, strict=False)]
        assert min(gaps, default=GAP) >= GAP - 0.02
        assert gaps == pytest.approx([gaps[0]] * len(gaps), abs=0.02)
        assert ends[-1] <= bottom + 0.02
        assert page is pages[-1] or ends[-1] == pytest.approx(bottom, abs=0.02)


def test_a_page_says_its_size_in_millimetres(sheet: Sheet, pages: list[ET.Element]) -> None:
    """A unit of its drawing is a millimetre."""
    for page in pages:
        assert (page.get("width"), page.get("height")) == ("215.9mm", "279.4mm")
        assert page.get("viewBox") == f"0 0 {sheet.paper.width:g} {sheet.paper.height:g}"


def test_progress_is_reported_line_by_line(sheet: Sheet) -> None:
    """From the first line to the last."""
    reports: list[tuple[int, int]] = []
    sheet_pages(sheet, lambda done, of: reports.append((done, of)))
    assert reports == [(done, len(sheet.lines)) for done in range(1, len(sheet.lines) + 1)]
