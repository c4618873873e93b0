"""A row of music in few shapes: what is drawn alike becomes one path.

A page of paper needs no note by itself, and is printed several times faster and smaller this way.
"""

import re
from collections import defaultdict
from collections.abc import Iterable
from xml.etree import ElementTree as ET

_PLACE = re.compile(r"translate\(([-\d.]+), ([-\d.]+)\) scale\(([-\d.]+), [-\d.]+\) scale\(1,-1\)")
_MOVE = re.compile(r"M\s*([-\d.]+)[ ,]([-\d.]+)")
_ABSOLUTE = re.compile(r"[A-LN-Z]")
"""Commands of a path that name places, beside M."""


def merged(shapes: Iterable[ET.Element]) -> list[ET.Element]:
    """The same drawing; lines of one thickness, beams, and symbols of one size each in one path."""
    lines: dict[str, list[str]] = defaultdict(list)
    symbols: dict[str, list[str]] = defaultdict(list)
    solid, others = [], []
    for shape in shapes:
        data, place = shape.get("d", ""), _PLACE.fullmatch(shape.get("transform", ""))
        if shape.tag == "polygon":
            solid.append(f"M{shape.get('points', '').replace(' ', 'L').replace(',', ' ')}z")
        elif shape.get("stroke"):
            lines[shape.get("stroke-width", "")].append(data)
        elif place and not _ABSOLUTE.search(data):
            x, y, scale = map(float, place.groups())
            symbols[place[3]].append(_shifted(data, x / scale, -y / scale))
        else:
            others.append(shape)
    return [
        *(ET.Element("path", {"d": "".join(d), "stroke": "currentColor", "stroke-width": w}) for w, d in lines.items()),
        *([ET.Element("path", d="".join(solid))] if solid else []),
        *(ET.Element("path", d="".join(d), transform=f"scale({s},-{s})") for s, d in symbols.items()),
        *others,
    ]


def _shifted(data: str, x: float, y: float) -> str:
    """A symbol's path, whose M are the only commands that name places, somewhere else."""
    return _MOVE.sub(lambda move: f"M{float(move[1]) + x:.5g} {float(move[2]) + y:.5g}", data)
