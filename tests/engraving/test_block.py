"""One line of a sheet."""

import re
from itertools import pairwise

import pytest

from chanterd.engraving.block import BOX_CELL, LABEL, LABEL_GAP, NAME, STAFF_HEIGHT, Block, line_block
from chanterd.engraving.sheet import make_sheet

WIDTH = 174.0


def block(phrase: str, *, stages: bool = False, tempo: str = "") -> Block:
    """The first line of a sheet."""
    sheet = make_sheet([phrase], stages=stages, tempo=tempo)
    return line_block(sheet.lines[0], sheet.tempi, WIDTH)


def words(one: Block) -> list[str]:
    """All its texts, in order."""
    return [element.text or "" for element in one.inside if element.tag == "text"]


def test_name_spelling_and_music() -> None:
    """Above the music are the drill in words and its spelling."""
    one = block("grip from B to C")
    assert words(one) == ["grip from B to C", "low G, D gracenote, low G, then C on the beat"]
    assert [element.tag for element in one.inside] == ["text", "text", "g"]


def test_a_box_for_every_tempo_at_the_right_margin() -> None:
    """Beside the name, as far right as the line goes, each behind its number."""
    one = block("grip from B to C", tempo="60-80")
    assert words(one)[1:7] == ["clicks", "60", "65", "70", "75", "80"]
    assert words(block("grip from B to C", tempo="60-80 beats"))[1] == "beats"
    boxes = [element for element in one.inside if element.tag == "rect"]
    assert len(boxes) == 5
    last = boxes[-1]
    assert float(last.get("x", "")) + float(last.get("width", "")) == pytest.approx(WIDTH)


def test_boxes_that_do_not_fit_go_below_and_never_over_the_name() -> None:
    """Twenty-nine tempi take rows of their own, inside the margins."""
    one = block("grip from B to C", tempo="60-200")
    boxes = [element for element in one.inside if element.tag == "rect"]
    assert len(boxes) == 29
    assert NAME.width("grip from B to C") + 29 * BOX_CELL > WIDTH
    rows = sorted({float(element.get("y", "")) for element in boxes})
    assert len(rows) == 3
    assert max(float(element.get("x", "")) for element in boxes) < WIDTH
    assert one.height > block("grip from B to C", tempo="60-80").height


def test_labels_stand_above_their_bars() -> None:
    """As many as there are stages, from left to right."""
    one = block("grip from B to C", stages=True)
    labels = [(element.text or "", float(element.get("x", ""))) for element in one.inside if element.tag == "text"][2:]
    assert [label for label, _ in labels] == ["stage 1, beat on C", "the whole, beat on C"]
    assert [x for _, x in labels] == sorted({x for _, x in labels})


@pytest.mark.parametrize("phrase", ["crunluath a mach on D", "thumb double birl from E", "birl from E, beat on low A"])
@pytest.mark.parametrize("width", [174.0, 120.0])
def test_no_label_runs_into_the_next(phrase: str, width: float) -> None:
    """Longer ones than their bar take several lines; none is lost."""
    sheet = make_sheet([phrase], stages=True)
    one = line_block(sheet.lines[0], sheet.tempi, width)
    labels = [element for element in one.inside if element.get("font-style") == "italic"]
    assert " ".join(element.text or "" for element in labels).count("beat on") == len(
        [*filter(None, sheet.lines[0].labels)]
    )
    by_line: dict[str, list[tuple[float, str]]] = {}
    for element in labels:
        by_line.setdefault(element.get("y", ""), []).append((float(element.get("x", "")), element.text or ""))
    for side_by_side in by_line.values():
        for (x, label), (after, _) in pairwise([*sorted(side_by_side), (width + LABEL_GAP, "")]):
            assert x + LABEL.width(label) < after


def test_the_staff_is_seven_millimetres_high() -> None:
    """Five lines, 7 mm from the first to the last, so that they can be read from a stand."""
    one = block("grip from B to C")
    music = one.inside[-1]
    scale = float(re.findall(r"scale\(([\d.]+)\)", music.get("transform", ""))[0])
    lines = next(path for path in music.iter("path") if path.get("stroke-width") == "13")
    heights = sorted({float(y) for y in re.findall(r"M\S+ (\S+) L", lines.get("d", ""))})
    assert len(heights) == 5
    assert (heights[-1] - heights[0]) * scale == pytest.approx(STAFF_HEIGHT, rel=1e-3)


def test_what_is_too_long_for_one_row_goes_on_in_the_next() -> None:
    """A build-up wider than the paper keeps all its bars, in rows one below the other."""
    sheet = make_sheet(["thumb double birl from E"], stages=True)
    wide, narrow = (line_block(sheet.lines[0], sheet.tempi, width) for width in (174.0, 60.0))
    assert [element.tag for element in narrow.inside].count("g") > [element.tag for element in wide.inside].count("g")
    assert narrow.height > wide.height
    labels = " ".join(words(narrow)).count("beat on")
    assert labels == len([*filter(None, sheet.lines[0].labels)])
