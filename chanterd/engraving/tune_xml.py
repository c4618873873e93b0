"""A part of a tune as a MusicXML 4.0 document, the way pipe music is written: for engraving.

Gracenotes are small, stem up, with three beams; melody notes are stem down, beamed by the click (common practice, no
source). First and second endings are not in it: whoever draws it draws them. The element names and their
order are those of the MusicXML 4.0 schema (W3C Music Notation Community Group,
2021). A note's id is ``n`` and its index in the tune; its gracenotes and what is tied to it add a letter and a number.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm
from xml.etree import ElementTree as ET

from chanterd.engraving.musicxml import add, add_gracenotes, add_part_list, add_pitch
from chanterd.engraving.tune_values import IN_THE_TIME_OF, Value, beamed, values_of
from chanterd.music.note import Note
from chanterd.music.tunes.tune import Bar, Meter, Tune, TuneNote

QUARTER = Fraction(1, 4)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One note or rest of a bar."""

    start: Fraction
    value: Value
    name: str
    note: Note | None
    """None: a rest."""
    gracenotes: tuple[Note, ...] = ()
    tied_from: bool = False
    tied_to: bool = False


def note_name(index: int) -> str:
    """The id of the note with that index in the tune, counted from 0."""
    return f"n{index}"


def tune_xml(tune: Tune, first: int, last: int) -> str:
    """The document with the notes from ``first`` to ``last``, both in it, and the bars they are in."""
    root = ET.Element("score-partwise", version="4.0")
    add_part_list(root)
    part = add(root, "part", id="P1")
    bars = bars_between(tune, first, last)
    divisions = _divisions(tune)
    meter: Meter | None = None
    for place, bar in enumerate(bars):
        measure = add(part, "measure", number=str(bar.number))
        if place == 0 or bar.meter != meter:
            _add_attributes(measure, divisions if place == 0 else None, bar.meter)
        meter = bar.meter
        if bar.opens_repeat:
            line = add(measure, "barline", location="left")
            add(line, "bar-style", "heavy-light")
            add(line, "repeat", direction="forward")
        drawn = list(_drawn(tune, bar, first, last))
        _add_notes(measure, drawn, bar, divisions)
        _add_right(measure, bar, last=place + 1 == len(bars))
    return ET.tostring(root, encoding="unicode", xml_declaration=False)


def bars_between(tune: Tune, first: int, last: int) -> list[Bar]:
    """The bars that the notes from ``first`` to ``last`` sound in."""
    begin, end = tune.notes[first].start, tune.notes[last].start + tune.notes[last].lasts
    return [bar for bar in tune.bars if bar.start < end and bar.start + bar.lasts > begin]


def _divisions(tune: Tune) -> int:
    """Into how many a quarter is divided, so that every length is a whole number."""
    ends = (part for note in tune.notes for part in (note.start, note.lasts))
    bars = (part for bar in tune.bars for part in (bar.start, bar.lasts))
    return lcm(*(one.denominator for one in (*ends, *bars)), 128)


def _drawn(tune: Tune, bar: Bar, first: int, last: int) -> Iterator[_Drawn]:
    """What is drawn in a bar, in order; where nothing sounds there is a rest."""
    end, at = bar.start + bar.lasts, bar.start
    sounding = max(first, bisect_right(tune.notes, bar.start, key=_start) - 1)  # it may reach into this bar
    for index in range(sounding, min(last + 1, bisect_left(tune.notes, end, key=_start))):
        note = tune.notes[index]
        until = note.start + note.lasts
        if until <= bar.start or note.start >= end:
            continue
        begin, stop = max(note.start, bar.start), min(until, end)
        yield from _rests(at, begin)
        values = values_of(stop - begin)
        for place, value in enumerate(values):
            begins = place == 0 and begin == note.start
            yield _Drawn(
                begin,
                value,
                note_name(index) if begins else f"{note_name(index)}t{bar.number}-{place}",
                note.note,
                note.gracenotes if begins else (),
                tied_from=not begins,
                tied_to=place + 1 < len(values) or stop < until,
            )
            begin += value.lasts
        at = stop
    if first == 0 or at > bar.start:  # before the first note of a passage nothing is written
        yield from _rests(at, end)


def _start(note: TuneNote) -> Fraction:
    return note.start


def _rests(start: Fraction, end: Fraction) -> Iterator[_Drawn]:
    for value in values_of(end - start) if end > start else ():
        yield _Drawn(start, value, "", None)
        start += value.lasts


def _add_attributes(measure: ET.Element, divisions: int | None, meter: Meter | None) -> None:
    attributes = add(measure, "attributes")
    if divisions is not None:
        add(attributes, "divisions", str(divisions))
        add(add(attributes, "key", print_object="no"), "fifths", "2")
    if meter is not None:
        time = add(attributes, "time")
        add(time, "beats", str(meter.beats))
        add(time, "beat-type", str(meter.unit))
    if divisions is not None:
        clef = add(attributes, "clef")
        add(clef, "sign", "G")
        add(clef, "line", "2")


def _add_right(measure: ET.Element, bar: Bar, *, last: bool) -> None:
    if not (last or bar.ends_part or bar.closes_repeat):
        return
    line = add(measure, "barline", location="right")
    add(line, "bar-style", "light-heavy" if bar.closes_repeat else "light-light")
    if bar.closes_repeat:
        add(line, "repeat", direction="backward")


def _add_notes(measure: ET.Element, drawn: Sequence[_Drawn], bar: Bar, divisions: int) -> None:
    beams = _beams(drawn, bar)
    tuplets = list(_tuplets(drawn))
    for one, states, marks in zip(drawn, beams, tuplets, strict=True):
        if one.gracenotes:
            add_gracenotes(measure, one.gracenotes, [f"{one.name}g{place}" for place in range(len(one.gracenotes))])
        element = add(measure, "note", **({"id": one.name} if one.name else {}))
        if one.note is None:
            add(element, "rest")
        else:
            add_pitch(element, one.note)
        add(element, "duration", str(int(one.value.lasts / QUARTER * divisions)))
        for state, there in (("stop", one.tied_from), ("start", one.tied_to)):
            if there:
                add(element, "tie", type=state)
        add(element, "voice", "1")
        add(element, "type", one.value.type)
        for _ in range(one.value.dots):
            add(element, "dot")
        if one.value.tuplet > 1:
            change = add(element, "time-modification")
            add(change, "actual-notes", str(one.value.tuplet))
            add(change, "normal-notes", str(IN_THE_TIME_OF[one.value.tuplet]))
        if one.note is not None:
            add(element, "stem", "down")
        for level, state in enumerate(states, 1):
            add(element, "beam", state, number=str(level))
        _add_notations(element, one, marks)


def _add_notations(element: ET.Element, one: _Drawn, tuplet: Sequence[str]) -> None:
    tied = [state for state, there in (("stop", one.tied_from), ("start", one.tied_to)) if there]
    if not tied and not tuplet:
        return
    notations = add(element, "notations")
    for state in tied:
        add(notations, "tied", type=state)
    for state in tuplet:
        add(notations, "tuplet", type=state)


def _beams(drawn: Sequence[_Drawn], bar: Bar) -> list[list[str]]:
    """The beams of each note: notes shorter than a quarter within one click share them."""
    click = bar.meter.click if bar.meter is not None else QUARTER
    # A pick-up counts from the end of its bar, so that its notes fall on the clicks that they lead to.
    whole = bar.meter.bar if bar.meter is not None else bar.lasts
    offset = whole - bar.lasts if bar.number == 0 and bar.lasts < whole else Fraction(0)
    states: list[list[str]] = [[] for _ in drawn]
    group: list[int] = []
    in_click: int | None = None

    def close() -> None:
        if len(group) > 1:
            for place, beams in zip(group, beamed([drawn[one].value.beams for one in group]), strict=True):
                states[place] = beams
        group.clear()

    for place, one in enumerate(drawn):
        now = int((one.start - bar.start + offset) / click)
        if one.note is None or one.value.beams == 0 or now != in_click:
            close()
        in_click = now
        if one.note is not None and one.value.beams > 0:
            group.append(place)
    close()
    return states


def _tuplets(drawn: Sequence[_Drawn]) -> Iterator[list[str]]:
    """Where a tuplet's number begins and ends: at its first note, and at the one after which its time is whole."""
    held = Fraction(0)
    for place, one in enumerate(drawn):
        odd = one.value.tuplet
        if odd == 1:
            held = Fraction(0)
            yield []
            continue
        marks = ["start"] if held == 0 else []
        held += one.value.lasts
        after = drawn[place + 1].value.tuplet if place + 1 < len(drawn) else 1
        if held.denominator % odd or after != odd:
            marks.append("stop")
            held = Fraction(0)
        yield marks
