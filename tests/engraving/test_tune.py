"""A tune as SVG for a page."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

from chanterd.engraving.drawing import SPACE
from chanterd.engraving.tune import tune_svg
from chanterd.music.tunes.abc import read_abc
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from tests.engraving.example_drills import parsed

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def march(tmp_path_factory: pytest.TempPathFactory) -> Tune:
    """The march that ships, which has endings."""
    tune = Shelf(Path(tmp_path_factory.mktemp("data"))).find("lamp-at-quarry-hollow").tune
    assert tune is not None
    return tune


def numbers(svg: str, attribute: str) -> list[int]:
    """The values of an attribute, in the order in which they are drawn."""
    return [int(one) for one in re.findall(f'{attribute}="([0-9]+)"', svg)]


def test_every_note_and_gracenote_is_drawn_once_with_its_index(march: Tune) -> None:
    """So that a page can mark and choose them."""
    svg = tune_svg(march, 31, 67, 80.0)
    assert numbers(svg, "data-note") == list(range(31, 68))
    assert sorted(numbers(svg, "data-grace")) == [
        index for index in range(31, 68) for _ in march.notes[index].gracenotes
    ]


def test_a_narrower_place_has_more_rows_and_the_same_scale(march: Tune) -> None:
    """A row is as high as before, and none is wider than the place."""
    wide, narrow = (parsed(tune_svg(march, 0, 30, width)) for width in (120.0, 40.0))
    rows = [len(one.findall(f"{SVG}g")) for one in (wide, narrow)]
    assert rows[1] > rows[0]
    heights = [
        float(one.get("height", "").removesuffix("em")) / count for one, count in zip((wide, narrow), rows, strict=True)
    ]
    assert heights[0] == pytest.approx(heights[1], rel=0.01)
    assert float(narrow.get("width", "").removesuffix("em")) < 21


def test_melody_notes_hang_down_and_gracenotes_reach_up(march: Tune) -> None:
    """As pipe music is printed (common practice, no source): no melody note's stem goes up."""
    svg = parsed(tune_svg(march, 0, 30, 80.0))
    for attribute, up in (("data-note", False), ("data-grace", True)):
        for group in svg.iter(f"{SVG}g"):
            if group.get(attribute) is None:
                continue
            stems = [re.fullmatch(r"M\S+ (\S+) L\S+ (\S+)", path.get("d", "")) for path in group.iter(f"{SVG}path")]
            for stem in filter(None, stems):
                assert (float(stem[2]) < float(stem[1])) is up


def test_endings_bar_numbers_and_the_meter_can_be_read(march: Tune) -> None:
    """The numbers of the endings and of each row's first full bar; a drill's staff has none of them."""
    texts = [one.text for one in parsed(tune_svg(march, 31, 67, 80.0)).iter(f"{SVG}text")]
    assert {"1", "2", "9"} <= set(texts)


def places(svg: str) -> list[list[tuple[str, float]]]:
    """By row, what is above it and how far from the left, in staff spaces; ``[`` and ``]`` are hooks of endings."""
    found: list[list[tuple[str, float]]] = []
    for row in parsed(svg).findall(f"{SVG}g"):
        there = [(one.text or "", float(one.get("x", "0"))) for one in row.findall(f"{SVG}text")]
        for path in row.findall(f"{SVG}path"):
            line = re.fullmatch(r"M(\S+) \S+?(V\S+?)?H([^V]+)(V\S+)?", path.get("d", ""))
            assert line is not None
            there += [("[" if line[2] else "-", float(line[1])), ("]" if line[4] else "-", float(line[3]))]
        found.append([(what, at / SPACE) for what, at in there])
    return found


@pytest.mark.parametrize("width", [34.0, 60.0, 78.0, 92.0, 100.0, 108.0, 120.0])
def test_a_bar_number_and_an_endings_number_are_never_on_each_other(march: Tune, width: float) -> None:
    """Whichever bar a row begins with: two digits are two spaces wide."""
    for row in places(tune_svg(march, 31, 67, width)):
        texts = sorted(at for what, at in row if what.isdecimal())
        assert all(after - before > 2 for before, after in pairwise(texts))


def test_an_endings_line_goes_on_in_the_next_row_and_is_closed_where_it_leads_back() -> None:
    """The first and third time through one ending, written over two rows."""
    [tune] = read_abc(b"X:1\nM:4/4\nL:1/8\nK:HP\n|: ABcdefga |1,3 ABcdefga | ABcdefga :|2 ABcdefga :|\n")
    rows = [[what for what, _ in row] for row in places(tune_svg(tune, 0, 31, 30.0))]
    assert rows == [["1"], ["2", "1, 3", "[", "-"], ["3", "-", "]"], ["4", "2", "[", "]"]]


def test_a_tune_of_one_note_is_drawn() -> None:
    """And one in free time, with a rest before its note."""
    [tune] = read_abc(b"X:1\nM:none\nL:1/8\nK:HP\nz2 {gcd}c16 |\n")
    assert numbers(tune_svg(tune, 0, 0, 30.0), "data-note") == [0]
