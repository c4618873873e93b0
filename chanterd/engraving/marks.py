"""What is on a page beside the music: words and boxes, as SVG elements.

Conventions: millimetres from the left and from the top; a text's y is its baseline; sizes of type in points.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal
from xml.etree import ElementTree as ET

from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth

MM_PER_POINT = 25.4 / 72
FAMILY = "Times"
"""One of the standard fonts that every PDF reader has (PDF 1.7, ISO 32000-1, 9.6.2.2)."""
BLACK, GREY = "#000", "#444"
THIN = 0.2
LEADING = 1.2
"""From one line of type to the next, in sizes of the type."""


@dataclass(frozen=True, slots=True)
class Type:
    """A style of type."""

    points: float
    face: Literal["Times-Roman", "Times-Bold", "Times-Italic"] = "Times-Roman"
    colour: str = BLACK

    @property
    def leading(self) -> float:
        """From one line to the next, in millimetres."""
        return LEADING * self.points * MM_PER_POINT

    def width(self, words: str) -> float:
        """How wide the words are, in millimetres."""
        return float(stringWidth(words, self.face, self.points)) * MM_PER_POINT

    def split(self, words: str, width: float) -> list[str]:
        """The words in as many lines of at most that width as they need."""
        return [str(line) for line in simpleSplit(words, self.face, self.points, width / MM_PER_POINT)]


def text(
    x: float, y: float, words: str, style: Type, anchor: Literal["start", "middle", "end"] = "start"
) -> ET.Element:
    """Words at a place."""
    element = ET.Element(
        "text",
        {
            "x": f"{x:.2f}",
            "y": f"{y:.2f}",
            "font-family": FAMILY,
            "font-size": f"{style.points * MM_PER_POINT:.3f}",
            "fill": style.colour,
            "text-anchor": anchor,
        },
    )
    if style.face == "Times-Bold":
        element.set("font-weight", "bold")
    if style.face == "Times-Italic":
        element.set("font-style", "italic")
    element.text = words
    return element


def box(x: float, y: float, side: float) -> ET.Element:
    """An empty square to tick, its lower left corner at a text's place."""
    place = {"x": f"{x:.2f}", "y": f"{y - side:.2f}", "width": f"{side:g}", "height": f"{side:g}"}
    return ET.Element("rect", place | {"fill": "none", "stroke": BLACK, "stroke-width": f"{THIN:g}"})


def moved(x: float, y: float, inside: Sequence[ET.Element], scale: float = 1.0) -> ET.Element:
    """A group somewhere else, and of another size."""
    sized = "" if scale == 1.0 else f" scale({scale:.6f})"
    group = ET.Element("g", transform=f"translate({x:.2f} {y:.2f}){sized}")
    group.extend(inside)
    return group
