"""From verovio's SVG to plain shapes: rows of music that can be put anywhere, on a page of paper or of a browser.

What is left are groups, paths and polygons with presentation attributes: no styles, scripts, fonts or references, so
that it passes the strictest content policy and any reader draws the same. Colour is ``currentColor`` throughout.

Conventions: x and y in verovio's units, see ``SPACE``; y grows downwards. The origin of a row is the left end of its
top staff line.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from chanterd.engraving.tails import level_gracenotes

SPACE = 180.0
"""Units between two staff lines."""
STAFF_HEIGHT = 4 * SPACE

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
WITH_METER = frozenset(("placeholder", "keySig"))
"""What is not drawn of a tune, by verovio's classes: pipe music has no key signature (common practice, no source)."""
WITHOUT_METER = WITH_METER | {"meterSig"}


@dataclass(frozen=True, slots=True)
class StaffRow:
    """One row of music."""

    group: ET.Element
    """A ``g``; what is of the music inside keeps the id that the document gave it."""
    width: float
    bars: tuple[float, ...]
    """Where each bar begins."""

    @property
    def bar_widths(self) -> tuple[float, ...]:
        """How wide each bar is."""
        return tuple(end - start for start, end in zip(self.bars, (*self.bars[1:], self.width), strict=True))


def rows(svg: str, ids: frozenset[str], hidden: frozenset[str] = WITHOUT_METER) -> list[StaffRow]:
    """The rows of an engraved document, without what is ``hidden``; only these ids are kept, verovio's own are not."""
    root = ET.fromstring(svg)  # noqa: S314 - it comes from verovio, not from outside
    symbols = {f"#{group.get('id')}": group[0] for group in root.iterfind(f"{_SVG}defs/{_SVG}g")}
    return [_row(system, symbols, ids, hidden) for system in _of_class(root, "system")]


def _of_class(root: ET.Element, name: str) -> Iterator[ET.Element]:
    return (group for group in root.iter(f"{_SVG}g") if name in group.get("class", "").split())


def _row(
    system: ET.Element, symbols: Mapping[str, ET.Element], ids: frozenset[str], hidden: frozenset[str]
) -> StaffRow:
    tops = [_ends(staff[0]) for staff in _of_class(system, "staff")]
    left, top, right = tops[0][0], tops[0][1], tops[-1][2]
    level_gracenotes(system, top, SPACE)
    group = ET.Element("g", fill="currentColor", stroke="none", transform=f"translate({-left:g} {-top:g})")
    group.extend(_plain(system, symbols, ids, hidden))
    outer = ET.Element("g")
    outer.append(group)
    return StaffRow(outer, right - left, tuple(one[0] - left for one in tops))


def _ends(line: ET.Element) -> tuple[float, float, float]:
    """Left x, y and right x of a staff line."""
    left, y, right, _ = line.get("d", "").replace("M", "").replace("L", "").split()
    return float(left), float(y), float(right)


def _plain(
    parent: ET.Element, symbols: Mapping[str, ET.Element], ids: frozenset[str], hidden: frozenset[str]
) -> Iterator[ET.Element]:
    """What is drawn inside, groups without an id of ours dissolved."""
    for child in parent:
        match child.tag.removeprefix(_SVG):
            case "g" if child.get("id") in ids:
                group = ET.Element("g", id=child.get("id", ""))
                group.extend(_plain(child, symbols, ids, hidden))
                yield group
            case "g" if not {*child.get("class", "").split()} & hidden:
                yield from _plain(child, symbols, ids, hidden)
            case "use":
                symbol = symbols[child.get(_HREF, "")]
                transform = f"{child.get('transform')} {symbol.get('transform', '')}".strip()
                yield ET.Element("path", d=symbol.get("d", ""), transform=transform)
            case "path":
                width = child.get("stroke-width", "1")
                yield ET.Element("path", {"d": child.get("d", ""), "stroke": "currentColor", "stroke-width": width})
            case "ellipse":
                yield ET.Element("ellipse", {name: child.get(name, "0") for name in ("cx", "cy", "rx", "ry")})
            case "polygon":
                yield ET.Element("polygon", points=child.get("points", ""))
