"""A drill in staff notation, as SVG for a page: same scale and height for every drill, so that they align side by side.

Pure, cached by the drill, safe to call from several threads. It takes some milliseconds: call it outside the
event loop.
"""

from functools import lru_cache
from xml.etree import ElementTree as ET

from chanterd.engraving.drawing import SPACE, StaffRow, rows
from chanterd.engraving.engraver import engrave
from chanterd.engraving.musicxml import MusicLine, music_xml, note_names
from chanterd.music.drill import Drill
from chanterd.music.ornament import plain

ABOVE, BELOW = 3.6, 6.3
"""What is drawn, from the top staff line, in staff spaces: up to the gracenotes' beams, down to low G's stem."""
SIDE = 0.1
"""Room at both ends for half a stroke, in staff spaces."""
EM_PER_SPACE = 0.5
"""Size on a page, which may choose another: a staff is two letters high, and grows with them."""
KEPT = 4096
"""How many staves are kept ready."""


@lru_cache(maxsize=KEPT)
def staff_svg(drill: Drill) -> str:
    """The SVG of a drill; its words name the ids, see :func:`staff_prefix`.

    Each note is a group whose id is ``PREFIX-lead``, ``PREFIX-s0``, ``PREFIX-s1`` ... or ``PREFIX-theme``; its
    ``data-step`` is the step that is heard there, -1 for the lead. Raises ChanterdError if verovio is
    missing.
    """
    names = note_names(drill)
    (row,) = rows(engrave(music_xml([MusicLine((drill,))])), frozenset(names))
    for step, name in zip((-1, *drill.sounding), names, strict=True):
        note = row.group.find(f".//g[@id='{name}']")
        assert note is not None  # noqa: S101 - a note that is not drawn is a mistake of ours, not of the user
        note.set("id", f"{staff_prefix(drill)}-{name}")
        note.set("data-step", str(step))
    return ET.tostring(_framed(row, f"{drill.words}: {drill.spelled}"), encoding="unicode")


def staff_prefix(drill: Drill) -> str:
    """How the ids in a drill's staff begin: ``grip-from-b-to-c-stage-1``."""
    return "-".join("".join(letter if letter.isalnum() else " " for letter in plain(drill.words)).split())


def _framed(row: StaffRow, label: str) -> ET.Element:
    left, top = -SIDE * SPACE, -ABOVE * SPACE
    width, height = row.width + 2 * SIDE * SPACE, (ABOVE + BELOW) * SPACE
    svg = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"{left:g} {top:g} {width:g} {height:g}",
            "width": f"{width / SPACE * EM_PER_SPACE:.3g}em",
            "height": f"{height / SPACE * EM_PER_SPACE:.3g}em",
            "role": "img",
            "aria-label": label,
        },
    )
    svg.append(row.group)
    return svg
