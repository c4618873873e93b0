"""Gracenotes on one level: beams, tails and stems."""

from xml.etree import ElementTree as ET

import pytest

from chanterd.engraving.drawing import SPACE
from chanterd.engraving.engraver import engrave
from chanterd.engraving.musicxml import MusicLine, music_xml
from chanterd.engraving.tails import LEVEL, TAILS, level_gracenotes
from chanterd.music.drill import drill_from_words
from tests.engraving.example_drills import one_of_each, parsed

SVG = "{http://www.w3.org/2000/svg}"


def levelled(words: str) -> tuple[ET.Element, float]:
    """The drawing of a drill with its gracenotes on a level, and the y of its top staff line."""
    root = parsed(engrave(music_xml([MusicLine((drill_from_words(words),))])))
    top = min(float(line.get("d", "").split()[1]) for line in staff_lines(root))
    level_gracenotes(root, top, SPACE)
    return root, top


def staff_lines(root: ET.Element) -> list[ET.Element]:
    """The five lines."""
    staff = root.find(f".//{SVG}g[@class='staff']")
    assert staff is not None
    return staff.findall(f"{SVG}path")


def points(root: ET.Element) -> list[tuple[float, float]]:
    """Every corner of every beam or tail."""
    words = [pair.split(",") for shape in root.iter(f"{SVG}polygon") for pair in shape.get("points", "").split()]
    return [(float(x), float(y)) for x, y in words]


def stems(root: ET.Element) -> dict[str, tuple[float, float]]:
    """Where each note's stem begins and ends, by the note's id."""
    found = {}
    for note in root.iterfind(f".//{SVG}g[@class='note']"):
        path = note.find(f".//{SVG}g[@class='stem']/{SVG}path")
        assert path is not None
        _, start, _, end = path.get("d", "").split()
        found[note.get("id", "")] = (float(start), float(end))
    return found


@pytest.mark.parametrize("words", [drill.words for drill in one_of_each() if len(drill.steps) > 2])
def test_beams_are_level_and_at_one_height(words: str) -> None:
    """Whatever the notes, beams are flat and as far above the staff as any others."""
    root, top = levelled(words)
    assert min(y for _, y in points(root)) == pytest.approx(top - LEVEL * SPACE)
    for beam in root.iter(f"{SVG}polygon"):
        ys = sorted({float(pair.split(",")[1]) for pair in beam.get("points", "").split()})
        assert len(ys) == 2


@pytest.mark.parametrize("words", ["birl from E", "G gracenote from C to low A", "high A gracenote from E to low A"])
def test_stems_reach_the_beams_and_melody_stems_stay(words: str) -> None:
    """A gracenote's stem goes up to the level; lead and theme still have theirs below the head."""
    root, top = levelled(words)
    for name, (start, end) in stems(root).items():
        if name in ("lead", "theme"):
            assert end > start
        else:
            assert top - LEVEL * SPACE <= end < start
            assert end - (top - LEVEL * SPACE) < SPACE / 4


def test_a_single_gracenote_has_three_straight_tails() -> None:
    """Three strokes to the right of the stem, falling, none on top of another, where a beam's three lines would be."""
    root, top = levelled("D gracenote from low G to low A")
    tails = list(root.iter(f"{SVG}polygon"))
    assert len(tails) == TAILS
    corners = [[tuple(map(float, pair.split(","))) for pair in tail.get("points", "").split()] for tail in tails]
    starts = [y for (_, y), *_ in corners]
    assert starts[0] == pytest.approx(top - LEVEL * SPACE)
    for (x, y), (right, fallen), *_, (_, under) in corners:
        assert right > x
        assert fallen > y
        assert under - y < starts[1] - starts[0]
    assert root.find(f".//{SVG}g[@class='flag']/{SVG}use") is None
