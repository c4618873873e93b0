"""Few shapes, the same drawing."""

import re
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from chanterd.engraving.merged import merged

HEAD = "M0 -39c0 68 73 172 200 172zM10 5l3 4z"


def symbol(x: int, y: int, scale: str = "0.72", data: str = HEAD) -> ET.Element:
    """A symbol of the music font, somewhere."""
    return ET.Element("path", d=data, transform=f"translate({x}, {y}) scale({scale}, {scale}) scale(1,-1)")


def line(data: str, width: str) -> ET.Element:
    """A staff line or a stem."""
    return ET.Element("path", {"d": data, "stroke": "currentColor", "stroke-width": width})


def test_lines_of_one_thickness_become_one_path() -> None:
    """Stems stay apart from staff lines, which are thinner."""
    found = merged([line("M0 0 L9 0", "13"), line("M1 1 L1 5", "18"), line("M0 2 L9 2", "13")])
    assert [(one.get("stroke-width"), one.get("d")) for one in found] == [
        ("13", "M0 0 L9 0M0 2 L9 2"),
        ("18", "M1 1 L1 5"),
    ]


def test_polygons_become_one_closed_path() -> None:
    """Beams are filled shapes, each closed."""
    (found,) = merged([ET.Element("polygon", points="0,1 2,3 4,5"), ET.Element("polygon", points="6,7 8,9 1,1")])
    assert found.get("d") == "M0 1L2 3L4 5zM6 7L8 9L1 1z"


def test_symbols_come_to_lie_where_they_were() -> None:
    """Each start of a part, scaled and turned as its group says, is where it was on the page."""
    (found,) = merged([symbol(720, 360), symbol(72, 36)])
    assert found.get("transform") == "scale(0.72,-0.72)"
    starts = [(float(x) * 0.72, -float(y) * 0.72) for x, y in re.findall(r"M(\S+) ([-\d.]+)", found.get("d", ""))]
    wanted = [(x + dx * 0.72, y - dy * 0.72) for x, y in ((720, 360), (72, 36)) for dx, dy in ((0, -39), (10, 5))]
    assert np.array(starts) == pytest.approx(np.array(wanted), abs=0.01)


def test_symbols_of_two_sizes_stay_apart() -> None:
    """Gracenotes are smaller than melody notes."""
    assert [one.get("transform") for one in merged([symbol(0, 0), symbol(0, 0, "0.48")])] == [
        "scale(0.72,-0.72)",
        "scale(0.48,-0.48)",
    ]


def test_a_symbol_that_names_places_is_left_as_it_is() -> None:
    """Moving its starts only would tear it apart."""
    shape = symbol(5, 5, data="M0 0L9 9z")
    assert merged([shape]) == [shape]
