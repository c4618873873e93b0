"""Drills written as a MusicXML 4.0 document, the way pipe music is written.

Gracenotes are small, stem up, with three beams, or three tails if there is only one; melody notes are stem down; C and
F sound sharp but no key signature is printed, and no metre (common practice, no source). The element names and their
order are those of the MusicXML 4.0 schema (W3C Music Notation Community Group, 2021).

A line holds one drill or several, each in a bar of its own. Every note has an id, which engraving keeps: ``lead``,
``s0``, ``s1`` ... as the drill counts its steps, and ``theme``. What cannot sound is not written. From the second bar
of a document on they begin with the bar's number, as in ``bar2-lead``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree as ET

from chanterd.music.drill import Drill
from chanterd.music.note import Note

PITCH: dict[Note, tuple[str, int, int]] = {
    Note.LOW_G: ("G", 0, 4),
    Note.LOW_A: ("A", 0, 4),
    Note.B: ("B", 0, 4),
    Note.C: ("C", 1, 5),
    Note.D: ("D", 0, 5),
    Note.E: ("E", 0, 5),
    Note.F: ("F", 1, 5),
    Note.HIGH_G: ("G", 0, 5),
    Note.HIGH_A: ("A", 0, 5),
}
"""Letter, semitones up, octave (4 begins at middle C) of the written pitches."""

SHARPS = 2
"""F and C, as the two sharps of the unprinted key."""
BEAMS = ("1", "2", "3")
BAGPIPE = "110"
"""General MIDI's bagpipe, counted from 1: what a notation program plays it with."""


@dataclass(frozen=True, slots=True)
class MusicLine:
    """One line of music."""

    drills: tuple[Drill, ...]
    """What is set side by side, a bar each."""
    caption: str = ""
    """Words above the line; they are for notation programs, our own pages set them themselves."""


def note_names(drill: Drill, bar: int = 1) -> tuple[str, ...]:
    """The ids of a drill's written notes, the lead first; bars count from 1."""
    prefix = "" if bar == 1 else f"bar{bar}-"
    steps = (f"s{index}" for index in drill.sounding[:-1])
    return tuple(f"{prefix}{name}" for name in ("lead", *steps, "theme"))


def music_xml(lines: Sequence[MusicLine], title: str = "", click_bpm: float | None = None) -> str:
    """The document; ``click_bpm`` is the tempo at which a program plays it."""
    root = ET.Element("score-partwise", version="4.0")
    if title:
        add(add(root, "work"), "work-title", title)
    add_part_list(root)
    part = add(root, "part", id="P1")
    number = 0
    for line in lines:
        for place, drill in enumerate(line.drills):
            number += 1
            measure = add(part, "measure", number=str(number))
            if number == 1:
                _add_attributes(measure)
            elif place == 0:
                measure.insert(0, ET.Element("print", {"new-system": "yes"}))
            if place == 0 and line.caption:
                _add_words(measure, line.caption)
            if number == 1 and click_bpm is not None:
                add(measure, "sound", tempo=f"{click_bpm:g}")
            _add_drill(measure, drill, number)
            if place == len(line.drills) - 1:
                add(add(measure, "barline", location="right"), "bar-style", "light-light")
    ET.indent(root)
    return ET.tostring(root, encoding="unicode", xml_declaration=False)


def add(parent: ET.Element, tag: str, text: str | None = None, /, **attributes: str) -> ET.Element:
    """One more element; ``_`` in an attribute's name is a ``-``."""
    element = ET.SubElement(parent, tag, {name.replace("_", "-"): value for name, value in attributes.items()})
    element.text = text
    return element


def add_part_list(root: ET.Element) -> None:
    """The one part, a chanter."""
    part = add(add(root, "part-list"), "score-part", id="P1")
    add(part, "part-name", "Chanter", print_object="no")
    add(add(part, "score-instrument", id="P1-I1"), "instrument-name", "Chanter")
    add(add(part, "midi-instrument", id="P1-I1"), "midi-program", BAGPIPE)


def _add_attributes(measure: ET.Element) -> None:
    attributes = add(measure, "attributes")
    add(attributes, "divisions", "1")
    add(add(attributes, "key", print_object="no"), "fifths", str(SHARPS))
    time = add(attributes, "time", print_object="no")
    add(time, "beats", "2")
    add(time, "beat-type", "4")
    clef = add(attributes, "clef")
    add(clef, "sign", "G")
    add(clef, "line", "2")


def _add_words(measure: ET.Element, words: str) -> None:
    direction = add(measure, "direction", placement="above")
    add(add(direction, "direction-type"), "words", words)


def _add_drill(measure: ET.Element, drill: Drill, bar: int) -> None:
    """The lead and the theme last a click each; the steps between them are gracenotes."""
    lead, *graces, theme = note_names(drill, bar)
    _add_melody_note(measure, drill.lead, lead)
    add_gracenotes(measure, [drill.steps[step].note for step in drill.sounding[:-1]], graces)
    _add_melody_note(measure, drill.theme, theme)


def _add_melody_note(measure: ET.Element, note: Note, name: str) -> None:
    element = add(measure, "note", id=name)
    add_pitch(element, note)
    add(element, "duration", "1")
    add(element, "voice", "1")
    add(element, "type", "quarter")
    add(element, "stem", "down")


def add_gracenotes(measure: ET.Element, notes: Sequence[Note], names: Sequence[str]) -> None:
    """Gracenotes in a group of their own, each with its id."""
    for place, (note, name) in enumerate(zip(notes, names, strict=True)):
        beam = "begin" if place == 0 else "end" if place == len(notes) - 1 else "continue"
        _add_gracenote(measure, note, name, beam if len(notes) > 1 else None)


def _add_gracenote(measure: ET.Element, note: Note, name: str, beam: str | None) -> None:
    element = add(measure, "note", id=name)
    add(element, "grace", slash="no")
    add_pitch(element, note)
    add(element, "voice", "1")
    add(element, "type", "32nd")
    add(element, "stem", "up")
    for number in BEAMS if beam else ():
        add(element, "beam", beam, number=number)


def add_pitch(element: ET.Element, note: Note) -> None:
    """How a note is written."""
    letter, alter, octave = PITCH[note]
    pitch = add(element, "pitch")
    add(pitch, "step", letter)
    if alter:
        add(pitch, "alter", str(alter))
    add(pitch, "octave", str(octave))
