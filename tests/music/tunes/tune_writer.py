"""Writing tunes for tests, as ABC and as MusicXML, without any of the reader's code."""

import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from xml.sax.saxutils import escape

from chanterd.music.note import Note

UNIT = Fraction(1, 8)
STEPS = {"G": ("G", 4), "A": ("A", 4), "B": ("B", 4), "c": ("C", 5), "d": ("D", 5), "e": ("E", 5), "f": ("F", 5)}
STEPS |= {"g": ("G", 5), "a": ("A", 5)}
DIVISIONS = 96


@dataclass(frozen=True, slots=True)
class Written:
    """One note to be written: its gracenotes, and its length as a fraction of a whole note."""

    note: Note
    lasts: Fraction
    gracenotes: tuple[Note, ...] = ()


def length(lasts: Fraction) -> str:
    """A length in units of an eighth, as ABC has it."""
    times = lasts / UNIT
    if times.denominator == 1:
        return "" if times == 1 else str(times.numerator)
    return f"{'' if times.numerator == 1 else times.numerator}/{times.denominator}"


def abc(bars: Sequence[Sequence[Written]], title: str = "Made up", meter: str = "4/4") -> str:
    """A whole file."""
    lines = [f"X:1\nT:{title}\nM:{meter}\nL:1/8\nK:HP\n"]
    for bar in bars:
        for one in bar:
            grace = "{" + "".join(note.abc for note in one.gracenotes) + "}" if one.gracenotes else ""
            lines.append(f"{grace}{one.note.abc}{length(one.lasts)} ")
        lines.append("|\n")
    return "".join(lines)


def musicxml(bars: Sequence[Sequence[Written]], title: str = "Made up", beats: int = 4, unit: int = 4) -> str:
    """A whole document."""
    out = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN"',
        '"http://www.musicxml.org/dtds/partwise.dtd">',
        '<score-partwise version="4.0">',
        f"<work><work-title>{escape(title)}</work-title></work>",
        '<part-list><score-part id="P1"><part-name>Pipes</part-name></score-part></part-list><part id="P1">',
    ]
    for number, bar in enumerate(bars, 1):
        out.append(f'<measure number="{number}">')
        if number == 1:
            out.append(
                f"<attributes><divisions>{DIVISIONS}</divisions><key><fifths>0</fifths></key>"
                f"<time><beats>{beats}</beats><beat-type>{unit}</beat-type></time></attributes>"
            )
        for one in bar:
            out += [f"<note><grace/>{pitch(note)}<voice>1</voice></note>" for note in one.gracenotes]
            duration = one.lasts * 4 * DIVISIONS
            out.append(f"<note>{pitch(one.note)}<duration>{duration}</duration><voice>1</voice></note>")
        out.append("</measure>")
    return "\n".join([*out, "</part></score-partwise>"])


def pitch(note: Note) -> str:
    """The element of a note."""
    step, octave = STEPS[note.abc]
    return f"<pitch><step>{step}</step><octave>{octave}</octave></pitch>"


def mxl(document: str) -> bytes:
    """The same, compressed."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        container = '<container><rootfiles><rootfile full-path="score.musicxml"/></rootfiles></container>'
        archive.writestr("META-INF/container.xml", container)
        archive.writestr("score.musicxml", document)
    return out.getvalue()
