"""From verovio's SVG to plain shapes."""

import pytest

from chanterd.engraving.drawing import SPACE, STAFF_HEIGHT, rows
from chanterd.engraving.engraver import engrave
from chanterd.engraving.musicxml import MusicLine, music_xml, note_names
from tests.engraving.example_drills import GRIP, ONE_GRACENOTE

WIDTH = 80.0


def test_rows_have_the_requested_width() -> None:
    """Rows that are filled have the width; all their bars are there, in rising order from the left end."""
    found = rows(engrave(music_xml([MusicLine((GRIP,) * 12)]), WIDTH), frozenset())
    assert len(found) > 1
    assert sum(len(row.bars) for row in found) == 12
    for row in found[:-1]:
        assert row.width / SPACE == pytest.approx(WIDTH, rel=0.01)
        assert row.bars[0] == 0
        assert list(row.bars) == sorted(row.bars)


def test_a_row_begins_at_its_top_staff_line() -> None:
    """Moved by the group's transform, the five lines are at 0 to 4 spaces, from x 0 to the row's width."""
    (row,) = rows(engrave(music_xml([MusicLine((GRIP,))])), frozenset())
    inner = row.group[0]
    dx, dy = map(float, inner.get("transform", "").removeprefix("translate(").removesuffix(")").split())
    lines = [path.get("d", "").replace("M", "").replace("L", "").split() for path in inner[:5]]
    assert [float(y) + dy for _, y, _, _ in lines] == [0, SPACE, 2 * SPACE, 3 * SPACE, STAFF_HEIGHT]
    assert {(float(left) + dx, float(right) + dx) for left, _, right, _ in lines} == {(0, row.width)}


def test_only_our_ids_are_left() -> None:
    """Verovio's own names are new each time; a drawing holds only those asked for, and is the same each time."""
    names = frozenset(note_names(ONE_GRACENOTE))
    document = music_xml([MusicLine((ONE_GRACENOTE,))])
    first, second = ([*rows(engrave(document), names)[0].group.iter()] for _ in range(2))
    assert {one.get("id") for one in first if one.get("id")} == names
    assert [(one.tag, one.attrib) for one in first] == [(one.tag, one.attrib) for one in second]


def test_no_key_signature_and_no_metre_is_drawn() -> None:
    """Before the first note there is a clef and nothing else: five lines, then one symbol."""
    (row,) = rows(engrave(music_xml([MusicLine((GRIP,))])), frozenset(note_names(GRIP)))
    before = [one.tag for one in row.group[0]]
    assert before[: before.index("g")] == ["path"] * 6
