"""A drill as SVG for a page: ids, one scale, nothing that a strict content policy forbids."""

import re
from xml.etree import ElementTree as ET

import pytest

from chanterd.engraving.staff import staff_prefix, staff_svg
from chanterd.music.drill import Drill, drill_from_words
from tests.engraving.example_drills import GRIP, MELTED, one_of_each, parsed

SVG = "{http://www.w3.org/2000/svg}"


def staff(drill: Drill) -> ET.Element:
    """The staff of a drill, parsed."""
    return parsed(staff_svg(drill))


def view_box(svg: ET.Element) -> list[float]:
    """Left, top, width and height."""
    return [float(number) for number in svg.get("viewBox", "").split()]


@pytest.mark.parametrize("drill", [*one_of_each(), MELTED], ids=lambda drill: drill.words)
def test_every_step_can_be_found_by_its_id(drill: Drill) -> None:
    """Lead, sounding steps and theme are groups that are drawn, in the drill's order, with its numbers."""
    notes = [group for group in staff(drill).iter(f"{SVG}g") if group.get("data-step")]
    prefix = staff_prefix(drill)
    steps = [f"s{number}" for number in drill.sounding[:-1]]
    assert [note.get("id") for note in notes] == [f"{prefix}-{name}" for name in ("lead", *steps, "theme")]
    assert [note.get("data-step") for note in notes] == [str(n) for n in (-1, *drill.sounding)]
    assert all(note.find(f"{SVG}path") is not None for note in notes)


@pytest.mark.parametrize("drill", [*one_of_each(), MELTED], ids=lambda drill: drill.words)
def test_nothing_is_drawn_that_a_strict_policy_forbids_or_a_dark_ground_hides(drill: Drill) -> None:
    """Only groups, paths and polygons; no styles, scripts or references; colour is the text's own."""
    svg = staff(drill)
    assert {one.tag for one in svg.iter()} <= {f"{SVG}{name}" for name in ("svg", "g", "path", "polygon")}
    for element in svg.iter():
        assert not {"style", "class", "href", "onload"} & {*element.attrib}
        assert {element.get("fill", "none"), element.get("stroke", "none")} <= {"none", "currentColor"}


def test_all_staves_have_one_scale_and_one_height() -> None:
    """Side by side, their staff lines meet: the same view from top to bottom, the same size of a unit."""
    staves = [staff(drill) for drill in one_of_each()]
    assert len({(view_box(svg)[1], view_box(svg)[3], svg.get("height")) for svg in staves}) == 1
    for svg in staves:
        _, _, width, height = view_box(svg)
        assert svg.get("width", "").endswith("em")
        drawn = float(svg.get("width", "").removesuffix("em")) / float(svg.get("height", "").removesuffix("em"))
        assert drawn == pytest.approx(width / height, rel=0.01)


def test_nothing_is_cut_off() -> None:
    """From low G's stem to high A's beams, all that is drawn is inside the view, which has no room to spare."""
    tops, bottoms = [], []
    for drill in one_of_each():
        svg = staff(drill)
        left, top, width, height = view_box(svg)
        moved = svg.find(f".//{SVG}g[@transform]")
        assert moved is not None
        dx, dy = (float(n) for n in re.findall(r"-?[\d.]+", moved.get("transform", "")))
        xs, ys = zip(*drawn_points(svg), strict=True)
        assert left <= min(xs) + dx < max(xs) + dx <= left + width
        assert top <= min(ys) + dy < max(ys) + dy <= top + height
        tops.append(min(ys) + dy - top)
        bottoms.append(top + height - max(ys) - dy)
    assert min(tops) < 90
    assert min(bottoms) < 90


def drawn_points(svg: ET.Element) -> list[tuple[float, float]]:
    """Every corner of a polygon and end of a line."""
    words = [polygon.get("points", "").replace(",", " ") for polygon in svg.iter(f"{SVG}polygon")]
    words += [p.get("d", "").replace("M", "").replace("L", "") for p in svg.iter(f"{SVG}path") if p.get("stroke")]
    numbers = [float(number) for word in words for number in word.split()]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def test_a_screen_reader_gets_the_notes_in_words() -> None:
    """The staff has a name for screen readers: the drill, spelled."""
    svg = staff(GRIP)
    assert svg.get("role") == "img"
    assert svg.get("aria-label") == "grip from B to C: low G, D gracenote, low G, then C on the beat"


def test_a_staff_is_made_once() -> None:
    """Other words for the same drill give the very same text."""
    assert staff_svg(drill_from_words("Grip from B to C")) is staff_svg(drill_from_words("grip from b to c"))


def test_two_staves_on_a_page_share_no_id() -> None:
    """The stages of a build-up are side by side on a page, where an id may be used once."""
    stage = drill_from_words("grip from B to C, stage 1")
    assert staff_prefix(stage) == "grip-from-b-to-c-stage-1"
    ids = [one.get("id") for svg in (staff(GRIP), staff(stage)) for one in svg.iter() if one.get("id")]
    assert len({*ids}) == len(ids)
