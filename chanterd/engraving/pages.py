"""A sheet as pages: blocks one below the other, a title, a word of caution and page numbers. Each page is an SVG.

Conventions: millimetres from the paper's left and top.
"""

from collections.abc import Callable, Iterator, Sequence
from xml.etree import ElementTree as ET

from chanterd.engraving.block import Block, line_block
from chanterd.engraving.marks import BLACK, GREY, Type, moved, text
from chanterd.engraving.sheet import Sheet

Progress = Callable[[int, int], None]
"""Called with how many pieces of work are done, and of how many."""

TITLE = Type(20.0)
RUNNING_HEAD = Type(10.0, "Times-Italic", GREY)
FOOT = Type(9.0, "Times-Roman", GREY)
CAUTION = "Stop if it hurts, rest every half hour, and keep chanter and click no louder than you need."
TITLE_HEIGHT, HEAD_HEIGHT, FOOT_HEIGHT = 14.0, 7.0, 8.0
GAP = 5.0
"""Least room between two blocks; all pages but the last are filled evenly."""


def sheet_pages(sheet: Sheet, progress: Progress) -> list[ET.Element]:
    """Every page, engraved and set; ``progress`` is called after each line."""
    blocks = []
    for done, line in enumerate(sheet.lines, start=1):
        blocks.append(line_block(line, sheet.tempi, sheet.paper.inner_width))
        progress(done, len(sheet.lines))
    parts = list(_parts(blocks, sheet))
    return [_page(sheet, part, number, len(parts)) for number, part in enumerate(parts, start=1)]


def _head_height(sheet: Sheet, *, first: bool) -> float:
    """What the title takes of a page, which has as many lines as it needs."""
    style, height = (TITLE, TITLE_HEIGHT) if first else (RUNNING_HEAD, HEAD_HEIGHT)
    return height + (len(style.split(sheet.title, sheet.paper.inner_width)) - 1) * style.leading


def _room(sheet: Sheet, *, first: bool) -> float:
    """The height for blocks on a page."""
    paper = sheet.paper
    return paper.height - paper.head - _head_height(sheet, first=first) - FOOT_HEIGHT - paper.foot


def _parts(blocks: Sequence[Block], sheet: Sheet) -> Iterator[list[Block]]:
    """The blocks of each page."""
    part: list[Block] = []
    left = _room(sheet, first=True)
    for block in blocks:
        if part and block.height > left:
            yield part
            part, left = [], _room(sheet, first=False)
        part.append(block)
        left -= block.height + GAP
    yield part


def _page(sheet: Sheet, blocks: Sequence[Block], number: int, count: int) -> ET.Element:
    paper = sheet.paper
    page = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": f"{paper.width:g}mm",
            "height": f"{paper.height:g}mm",
            "viewBox": f"0 0 {paper.width:g} {paper.height:g}",
            "color": BLACK,
        },
    )
    ET.SubElement(page, "title").text = f"{sheet.title}, page {number} of {count}"
    page.extend(_head_and_foot(sheet, number, count))
    y = paper.head + _head_height(sheet, first=number == 1)
    left = _room(sheet, first=number == 1) - sum(block.height for block in blocks)
    gap = GAP if number == count or len(blocks) == 1 else left / (len(blocks) - 1)
    for block in blocks:
        page.append(moved(paper.margin, y, block.inside))
        y += block.height + gap
    return page


def _head_and_foot(sheet: Sheet, number: int, count: int) -> Iterator[ET.Element]:
    paper = sheet.paper
    right, bottom = paper.width - paper.margin, paper.height - paper.foot
    style, top = (TITLE, 5.0) if number == 1 else (RUNNING_HEAD, 0.0)
    for line, words in enumerate(style.split(sheet.title, paper.inner_width)):
        yield text(paper.width / 2, paper.head + top + line * style.leading, words, style, "middle")
    yield text(paper.margin, bottom, CAUTION, FOOT)
    yield text(right, bottom, f"{number} of {count}", FOOT, "end")
