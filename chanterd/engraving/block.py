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
from chanterd.engraving.tempi import Tempi, Unit
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
LABEL_GAP = 2.0
"""Between the label of a bar and that of the next."""
AIR = 1.6
"""From type down to where music may begin."""
UNIT_GAP = 4.0
"""Between the name and the boxes, at least."""
BOX, BOX_CELL, BOX_GAP, BOX_DROP, BOX_LEADING = 3.4, 13.0, 1.2, 0.4, 5.4
"""Its side, what it takes with its tempo, the room between the two, how far it hangs below the type, row to row."""


@dataclass(slots=True)
class Block:
    """What belongs together on a page, and how high it is."""

    inside: list[ET.Element] = field(default_factory=list)
    height: float = 0.0


def line_block(line: SheetLine, tempi: Tempi, width: float) -> Block:
    """Engrave and set one line."""
    block, numbers = Block(), tempi.numbers
    unit = TEMPO.width(tempi.unit)
    needed = unit + len(numbers) * BOX_CELL if numbers else 0.0
    beside = NAME.width(line.drill.words) + UNIT_GAP + needed <= width
    _set_words(block, line.drill.words, NAME)
    if numbers and beside:
        _set_boxes(block, tempi.unit, numbers, width - needed)
    for words in SPELLING.split(line.drill.spelled, width):
        _set_words(block, words, SPELLING)
    most = int((width - unit) / BOX_CELL)
    for start in range(0, 0 if beside else len(numbers), most):
        block.height += BOX_LEADING
        _set_boxes(block, tempi.unit, numbers[start : start + most], 0.0)
    engraved = rows(engrave(music_xml([MusicLine(line.drills)]), width / STAFF_SPACE), frozenset())
    labels = list(line.labels)
    for row in engraved:
        _set_row(block, row, labels[: len(row.bars)])
        del labels[: len(row.bars)]
    return block


def _set_words(block: Block, words: str, style: Type) -> None:
    block.height += LEADING
    block.inside.append(text(0, block.height, words, style))


def _set_boxes(block: Block, unit: Unit, tempi: Sequence[Bpm], left: float) -> None:
    """A row of boxes on the line of type that was set last, each behind its tempo, and what is counted before them."""
    block.inside.append(text(left, block.height, unit, SPELLING))
    for number, tempo in enumerate(tempi, start=1):
        right = left + TEMPO.width(unit) + number * BOX_CELL
        block.inside.append(text(right - BOX - BOX_GAP, block.height, f"{tempo:g}", TEMPO, "end"))
        block.inside.append(box(right - BOX, block.height + BOX_DROP, BOX))


def _wrapped(label: str, width: float) -> list[str]:
    """A label in as many lines as it needs, broken at its comma first."""
    if LABEL.width(label) <= width:
        return [label] if label else []
    return [line for part in label.split(", ") for line in LABEL.split(part, width)]


def _set_row(block: Block, row: StaffRow, labels: Sequence[str]) -> None:
    scale = STAFF_SPACE / SPACE
    wrapped = [_wrapped(label, width * scale - LABEL_GAP) for label, width in zip(labels, row.bar_widths, strict=False)]
    for number in range(max(map(len, wrapped), default=0)):
        block.height += LEADING
        for bar, lines in zip(row.bars, wrapped, strict=False):
            if number < len(lines):
                block.inside.append(text(bar * scale, block.height, lines[number], LABEL))
    block.height += AIR + ABOVE * STAFF_SPACE
    row.group[0][:] = merged(row.group[0])
    block.inside.append(moved(0, block.height, [row.group], scale))
    block.height += BELOW * STAFF_SPACE
