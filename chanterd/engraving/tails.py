"""Gracenotes as pipe music prints them: all stems end on one level above the staff, single ones have straight tails.

Equal heights let the eye read the melody below and the ornaments above it (common practice of printed pipe music, no
source). Works on the tree of verovio's SVG, in its units; y grows downwards.
"""

from xml.etree import ElementTree as ET

LEVEL = 3.4
"""From the top staff line up to where the stems end, in spaces; high A, a space above it, has room for three beams."""
TAILS = 3
TAIL_LENGTH, TAIL_DROP, TAIL_THICKNESS, TAIL_STEP = 0.8, 0.45, 0.28, 0.52
"""A straight tail in staff spaces; the steps between are those of verovio's beams."""

_SVG = "{http://www.w3.org/2000/svg}"


def level_gracenotes(system: ET.Element, top: float, space: float) -> None:
    """Lengthen every stem that points up, in place, to one level; ``top`` is the y of the top staff line."""
    level = top - LEVEL * space
    for group in system.iter(f"{_SVG}g"):
        match group.get("class"):
            case "beam":
                _raise_beam(group, level)
            case "note":
                _raise_tails(group, level, space)


def _points(polygon: ET.Element) -> list[tuple[float, float]]:
    pairs = (pair.split(",") for pair in polygon.get("points", "").split())
    return [(float(x), float(y)) for x, y in pairs]


def _draw(polygon: ET.Element, points: list[tuple[float, float]]) -> None:
    polygon.set("points", " ".join(f"{x:g},{y:g}" for x, y in points))


def _points_up(stem: ET.Element) -> bool:
    """Whether a stem's path ends above its beginning: a gracenote's does, a melody note's does not."""
    words = stem.get("d", "").split()
    return float(words[3]) < float(words[1])


def _raise_beam(beam: ET.Element, level: float) -> None:
    stems = beam.findall(f".//{_SVG}g[@class='stem']/{_SVG}path")
    if not all(_points_up(stem) for stem in stems):
        return
    polygons = beam.findall(f"{_SVG}polygon")
    lift = level - min(y for polygon in polygons for _, y in _points(polygon))
    for polygon in polygons:
        _draw(polygon, [(x, y + lift) for x, y in _points(polygon)])
    for stem in stems:
        _end_stem(stem, lift)


def _end_stem(stem: ET.Element, lift: float) -> tuple[float, float]:
    """Move the far end of a stem; returns where it is now."""
    words = stem.get("d", "").split()
    x, y = float(words[2].removeprefix("L")), float(words[3]) + lift
    stem.set("d", f"{words[0]} {words[1]} L{x:g} {y:g}")
    return x, y


def _raise_tails(note: ET.Element, level: float, space: float) -> None:
    stem = note.find(f"{_SVG}g[@class='stem']")
    flag = None if stem is None else stem.find(f"{_SVG}g[@class='flag']")
    if stem is None or flag is None or not _points_up(stem[0]):
        return
    line = stem[0]
    end = float(line.get("d", "").split()[3])
    x, y = _end_stem(line, level - end)
    for child in list(flag):
        flag.remove(child)
    for number in range(TAILS):
        start = y + number * TAIL_STEP * space
        drop, thick = TAIL_DROP * space, TAIL_THICKNESS * space
        right = x + TAIL_LENGTH * space
        tail = ET.SubElement(flag, f"{_SVG}polygon")
        _draw(tail, [(x, start), (right, start + drop), (right, start + drop + thick), (x, start + thick)])
