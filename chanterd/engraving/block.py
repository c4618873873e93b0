"""One line of a sheet as a block: its name, its spelling, boxes for the tempi, and the music below.

Conventions: millimetres from the block's own left and top.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from xml.etree import ElementTree as ET

from chanterd.engraving.drawing import SPACE, StaffRow, rows
from chanterd.engraving.engraver import engrave
from chanterd.engraving.marks import GREY, Type, box, moved, text
from chanterd.engraving.merged import merged
from chanterd.engraving.musicxml import MusicLine, music_xml
from chanterd.engraving.sheet import SheetLine
from chanterd.engraving.staff import ABOVE, BELOW
from chanterd.music.units import Bpm

STAFF_HEIGHT = 7.0
"""From the lowest to the highest staff line: as large as printed parts are, to be read at arm's length [no source]."""
STAFF_SPACE = STAFF_HEIGHT / 4
NAME = Type(11.5, "Times-Bold")
SPELLING = Type(10.0, "Times-Roman", GREY)
LABEL = Type(9.0, "Times-Italic", GREY)
TEMPO = Type(10.0)
LEADING = 4.4
"""From one line of type to the next."""
AIR = 1.6
"""From type down to where music may begin."""
BOX, BOX_CELL, BOX_GAP, BOX_DROP, BOX_LEADING = 3.4, 13.0, 1.2, 0.4, 5.4
"""Its side, what it takes with its tempo, the room between the two, how far it hangs below the type, row to row."""


@dataclass(slots=True)
class Block:
    """What belongs together on a page, and how high it is."""

    inside: list[ET.Element] = field(default_factory=list)
    height: float = 0.0


def line_block(line: SheetLine, tempi: Sequence[Bpm], width: float) -> Block:
    """Engrave and set one line."""
    block = Block()
    beside = NAME.width(line.drill.words) + len(tempi) * BOX_CELL <= width
    _set_words(block, line.drill.words, NAME)
    if beside:
        _set_boxes(block, tempi, width - len(tempi) * BOX_CELL)
    for words in SPELLING.split(line.drill.spelled, width):
        _set_words(block, words, SPELLING)
    most = int(width / BOX_CELL)
    for start in range(0, 0 if beside else len(tempi), most):
        block.height += BOX_LEADING
        _set_boxes(block, tempi[start : start + most], 0.0)
    engraved = rows(engrave(music_xml([MusicLine(line.drills)]), width / STAFF_SPACE), frozenset())
    labels = list(line.labels)
    for row in engraved:
        _set_row(block, row, labels[: len(row.bars)])
        del labels[: len(row.bars)]
    return block


def _set_words(block: Block, words: str, style: Type) -> None:
    block.height += LEADING
    block.inside.append(text(0, block.height, words, style))


def _set_boxes(block: Block, tempi: Sequence[Bpm], left: float) -> None:
    """A row of boxes on the line of type that was set last, each behind its tempo."""
    for number, tempo in enumerate(tempi, start=1):
        right = left + number * BOX_CELL
        block.inside.append(text(right - BOX - BOX_GAP, block.height, f"{tempo:g}", TEMPO, "end"))
        block.inside.append(box(right - BOX, block.height + BOX_DROP, BOX))


def _set_row(block: Block, row: StaffRow, labels: Sequence[str]) -> None:
    if any(labels):
        block.height += LEADING
        for bar, label in zip(row.bars, labels, strict=False):
            if label:
                block.inside.append(text(bar / SPACE * STAFF_SPACE, block.height, label, LABEL))
    block.height += AIR + ABOVE * STAFF_SPACE
    row.group[0][:] = merged(row.group[0])
    block.inside.append(moved(0, block.height, [row.group], STAFF_SPACE / SPACE))
    block.height += BELOW * STAFF_SPACE
