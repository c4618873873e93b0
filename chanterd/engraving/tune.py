"""A part of a tune in staff notation, in rows of a width, as SVG for a page.

Pure, cached, safe to call from several threads. It takes some hundredths of a second: call it outside the event loop.
Conventions as in :mod:`.drawing`; bars and notes count from 0 in lists.
"""

from collections.abc import Iterator
from functools import lru_cache
from xml.etree import ElementTree as ET

from chanterd.engraving.drawing import SPACE, WITH_METER, StaffRow, rows
from chanterd.engraving.engraver import engrave
from chanterd.engraving.tune_xml import bars_between, note_name, tune_xml
from chanterd.music.tunes.tune import Bar, Tune

ABOVE, BELOW = 6.0, 7.4
"""Each row, from its top staff line, in staff spaces: up to the numbers above it, down to the marks below."""
SIDE = 0.1
EM_PER_SPACE = 0.5
NARROWEST, WIDEST = 30.0, 160.0
"""Staff spaces; two or three bars of a march, and more than a projector shows."""
ENDING_Y, NUMBER_Y = 5.4, 4.3
"""Above the top staff line, in staff spaces: the line of an ending, and the number of a row's first bar."""
AFTER_CLEF = 3.4
"""Where an ending's line begins that is a row's first bar, from the left: behind the clef and the bar's number."""
LETTER = 1.7 * SPACE
"""The size of a number, in SVG units."""
KEPT = 64


@lru_cache(maxsize=KEPT)
def tune_svg(tune: Tune, first: int, last: int, width: float) -> str:
    """The SVG of the notes from ``first`` to ``last``, in rows of ``width`` staff spaces.

    A melody note is a group with ``data-note``, each of its gracenotes one with ``data-grace``, both with the note's
    index in the tune. Raises ChanterdError if verovio is missing.
    """
    names = {note_name(index): index for index in range(first, last + 1)}
    graces = {
        f"{name}g{place}": index for name, index in names.items() for place in range(len(tune.notes[index].gracenotes))
    }
    made = rows(engrave(tune_xml(tune, first, last), width), frozenset({**names, **graces}), WITH_METER)
    bars = bars_between(tune, first, last)
    svg = _frame(made, f"{tune.title}, bars {bars[0].number} to {bars[-1].number}")
    place = 0
    for number, row in enumerate(made):
        there = range(place, min(place + len(row.bars), len(bars)))
        place = there.stop
        group = ET.SubElement(svg, "g", transform=f"translate(0 {number * (ABOVE + BELOW) * SPACE:g})")
        group.append(row.group)
        group.extend((*_number(row, bars, there), *_brackets(row, bars, there)))
        _name(row.group, "data-note", names)
        _name(row.group, "data-grace", graces)
    return ET.tostring(svg, encoding="unicode")


def _name(row: ET.Element, attribute: str, names: dict[str, int]) -> None:
    for group in row.iter("g"):
        index = names.get(group.get("id", ""))
        if index is not None:
            del group.attrib["id"]
            group.set(attribute, str(index))


def _number(row: StaffRow, bars: list[Bar], there: range) -> Iterator[ET.Element]:
    """The number of a row's first bar; where a part begins with a pick-up, that of the bar after it."""
    if not there or bars[there.start].number == 0:
        return
    first = bars[there.start]
    pick_up = there.start == 0 and first.meter is not None and first.lasts < first.meter.bar and len(there) > 1
    yield _text(str(bars[pick_up + there.start].number), row.bars[pick_up], -NUMBER_Y * SPACE)


def _endings(bars: list[Bar]) -> Iterator[range]:
    """The bars of each ending."""
    for place, bar in enumerate(bars):
        if bar.ending:
            ends = (one for one in range(place + 1, len(bars)) if bars[one].ending or bars[one - 1].ends_part)
            yield range(place, next(ends, len(bars)))


def _brackets(row: StaffRow, bars: list[Bar], there: range) -> Iterator[ET.Element]:
    """The lines above the endings in a row, with their numbers; ``there``: its bars.

    A line goes on in the next row; it is closed where the ending leads back.
    """
    edges = [*row.bars, row.width]
    for ending in _endings(bars):
        here = range(max(ending.start, there.start), min(ending.stop, there.stop))
        if not here:
            continue
        begin = edges[here.start - there.start] + (AFTER_CLEF if here.start == there.start else 0.5) * SPACE
        end, y = edges[here.stop - there.start] - 0.5 * SPACE, -ENDING_Y * SPACE
        begins = f"M{begin:g} {y + SPACE:g}V{y:g}" if here.start == ending.start else f"M{begin:g} {y:g}"
        closes = f"V{y + SPACE:g}" if here.stop == ending.stop and bars[ending.stop - 1].closes_repeat else ""
        path = f"{begins}H{end:g}{closes}"
        yield ET.Element("path", {"d": path, "fill": "none", "stroke": "currentColor", "stroke-width": "20"})
        if here.start == ending.start:
            times = ", ".join(map(str, bars[ending.start].ending))
            yield _text(times, begin + 0.4 * SPACE, y + 1.5 * SPACE)


def _text(words: str, x: float, y: float) -> ET.Element:
    text = ET.Element("text", {"x": f"{x:g}", "y": f"{y:g}", "font-size": f"{LETTER:g}", "fill": "currentColor"})
    text.text = words
    return text


def _frame(made: list[StaffRow], label: str) -> ET.Element:
    left, top = -SIDE * SPACE, -ABOVE * SPACE
    width = max(row.width for row in made) + 2 * SIDE * SPACE
    height = len(made) * (ABOVE + BELOW) * SPACE
    return ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"{left:g} {top:g} {width:g} {height:g}",
            "width": f"{width / SPACE * EM_PER_SPACE:.4g}em",
            "height": f"{height / SPACE * EM_PER_SPACE:.4g}em",
            "role": "img",
            "aria-label": label,
        },
    )
