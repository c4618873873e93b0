"""Drills to engrave: one of each ornament, and those at the ends of the scale."""

from collections.abc import Iterator
from functools import cache
from xml.etree import ElementTree as ET

from chanterd.music.drill import Drill, all_drills, drill_from_words, make_drill

GRIP = drill_from_words("grip from B to C")
ONE_GRACENOTE = drill_from_words("G gracenote from C to low A")
MELTED = drill_from_words("grip from low G to B")
"""Its first low G is sounding already: two steps are heard, three are printed."""


@cache
def one_of_each() -> tuple[Drill, ...]:
    """Every ornament of the book once, by turns from low and from high notes."""
    ways: dict[str, list[Drill]] = {}
    for drill in all_drills():
        ways.setdefault(drill.ornament.name, []).append(drill)
    return tuple(drills[-number % len(drills)] for number, drills in enumerate(ways.values()))


def build_up(drill: Drill) -> Iterator[Drill]:
    """Every stage of a drill, the full ornament last."""
    for number in range(1, drill.stages + 1):
        yield make_drill(drill.ornament, drill.lead, drill.theme, number)


def parsed(text: str) -> ET.Element:
    """The root of a document of ours."""
    return ET.fromstring(text)  # noqa: S314 - we wrote it ourselves
