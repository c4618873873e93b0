"""Whole tunes for tests, with pick-ups, repeats, endings and changes of time, as ABC and as MusicXML.

Written without any of the reader's code; what is played in which order is worked out here by itself.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from tests.music.tunes.tune_writer import DIVISIONS, Written, length, pitch

Bar = tuple[Written, ...]


@dataclass(frozen=True, slots=True)
class Ended:
    """One ending: the times through that it is for, and its bars."""

    times: tuple[int, ...]
    bars: tuple[Bar, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """Bars that are played once, or several times with endings."""

    body: tuple[Bar, ...]
    endings: tuple[Ended, ...] = ()
    times: int = 1
    meter: tuple[int, int] | None = None
    """The time that it changes to."""

    @property
    def bars(self) -> tuple[Bar, ...]:
        """All, as written."""
        return (*self.body, *(bar for ending in self.endings for bar in ending.bars))


Piece = Sequence[Section]


def as_written(piece: Piece) -> list[Written]:
    """Its notes in the order in which they are written."""
    return [note for section in piece for bar in section.bars for note in bar]


def as_played(piece: Piece) -> list[int]:
    """Its notes in the order in which they are played, by their indices as written."""
    found: list[int] = []
    at = 0
    for section in piece:
        numbered: list[list[int]] = []
        for bar in section.bars:
            numbered.append(list(range(at, at + len(bar))))
            at += len(bar)
        for time in range(1, section.times + 1):
            place = len(section.body)
            found += [note for bar in numbered[:place] for note in bar]
            for ending in section.endings:
                bars = numbered[place : place + len(ending.bars)]
                place += len(ending.bars)
                found += [note for bar in bars for note in bar] if time in ending.times else []
    return found


def piece_abc(piece: Piece, meter: tuple[int, int] = (4, 4)) -> str:
    """A file in ABC."""
    out = [f"X:1\nT:Made up\nM:{meter[0]}/{meter[1]}\nL:1/8\nK:HP\n"]
    for section in piece:
        if section.meter is not None:
            out.append(f"M:{section.meter[0]}/{section.meter[1]}\n")
        colons = 0 if section.times == 1 else 1 if section.endings else section.times - 1
        starts = _starts(section)
        out.append("|" + ":" * colons)
        for index, bar in enumerate(section.bars):
            if index in starts:
                out.append(f"[{','.join(map(str, starts[index].times))} ")
            out.append(" ".join(map(_abc_note, bar)))
            closes, last = _closes(section, index), index + 1 == len(section.bars)
            out.append(f"{':' * colons}|" if closes else "|]" if last else "|")
        out.append("\n")
    return "".join(out)


def _starts(section: Section) -> dict[int, Ended]:
    """Its endings, by the first bar of each."""
    found: dict[int, Ended] = {}
    place = len(section.body)
    for ending in section.endings:
        found[place] = ending
        place += len(ending.bars)
    return found


def _closes(section: Section, index: int) -> bool:
    """Whether that bar ends with a sign that leads back."""
    for place, ending in _starts(section).items():
        if index == place + len(ending.bars) - 1:
            return any(time < section.times for time in ending.times)
    return section.times > 1 and not section.endings and index + 1 == len(section.body)


def _abc_note(one: Written) -> str:
    grace = "{" + "".join(note.abc for note in one.gracenotes) + "}" if one.gracenotes else ""
    return f"{grace}{one.note.abc}{length(one.lasts)}"


def piece_xml(piece: Piece, meter: tuple[int, int] = (4, 4), title: str = "Made up") -> str:
    """A document in MusicXML."""
    out = [
        '<?xml version="1.0" encoding="UTF-8"?><score-partwise version="4.0">',
        f"<work><work-title>{escape(title)}</work-title></work>",
        '<part-list><score-part id="P1"><part-name>Pipes</part-name></score-part></part-list><part id="P1">',
    ]
    out += _measures(piece, meter)
    return "\n".join([*out, "</part></score-partwise>"])


def _measures(piece: Piece, meter: tuple[int, int]) -> Iterator[str]:
    number = 0
    for section in piece:
        for index, bar in enumerate(section.bars):
            number += 1
            yield f'<measure number="{number}">'
            if number == 1:
                yield f"<attributes><divisions>{DIVISIONS}</divisions><key><fifths>0</fifths></key>"
                yield f"{_time(meter)}</attributes>"
            elif index == 0 and section.meter is not None:
                yield f"<attributes>{_time(section.meter)}</attributes>"
            yield from _left(section, index)
            for one in bar:
                yield from _xml_note(one)
            yield from _right(section, index)
            yield "</measure>"


def _time(meter: tuple[int, int]) -> str:
    return f"<time><beats>{meter[0]}</beats><beat-type>{meter[1]}</beat-type></time>"


def _left(section: Section, index: int) -> Iterator[str]:
    marks = []
    starts = _starts(section)
    if index in starts:
        marks.append(f'<ending number="{", ".join(map(str, starts[index].times))}" type="start"/>')
    if index == 0 and section.times > 1:
        marks.append('<repeat direction="forward"/>')
    if marks:
        yield f'<barline location="left">{"".join(marks)}</barline>'


def _right(section: Section, index: int) -> Iterator[str]:
    marks = []
    for place, ending in _starts(section).items():
        if index == place + len(ending.bars) - 1:
            kind = "stop" if _closes(section, index) else "discontinue"
            marks.append(f'<ending number="{", ".join(map(str, ending.times))}" type="{kind}"/>')
    if _closes(section, index):
        times = "" if section.endings else f' times="{section.times}"'
        marks.append(f'<repeat direction="backward"{times}/>')
    if marks:
        yield f'<barline location="right">{"".join(marks)}</barline>'


def _xml_note(one: Written) -> Iterator[str]:
    for grace in one.gracenotes:
        yield f"<note><grace/>{pitch(grace)}<voice>1</voice></note>"
    yield f"<note>{pitch(one.note)}<duration>{one.lasts * 4 * DIVISIONS}</duration><voice>1</voice></note>"
