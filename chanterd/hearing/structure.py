"""Walks through a Standard MIDI File's bytes before a library makes objects of them, so that reading it stays bounded.

Sizes are those of the file format (RP-001, Standard MIDI Files 1.0): a variable-length number has four bytes at most.
Bytes count from 0. Pure.
"""

from dataclasses import dataclass

HEADER, TRACK = b"MThd", b"MTrk"
CHUNK_HEAD = 8
"""Bytes before a chunk's content: its name and its length."""
LONGEST_NUMBER = 5
"""Bytes of a variable-length number; this program's older files have five after a rest of an hour at a fast click."""
MOST_NOTES = 50_000
"""More than five hours of ornaments. To judge as many takes about 7 s and 270 MB."""
MOST_EVENTS = 200_000
"""Each takes half a kilobyte once it is read; pressure sensors send several for each note."""

_SYSEX, _ESCAPE, _META = 0xF0, 0xF7, 0xFF
_NOTE_ON = 0x90
_DATA = {
    **dict.fromkeys(range(0x80, 0xC0), 2),
    **dict.fromkeys(range(0xC0, 0xE0), 1),
    **dict.fromkeys(range(0xE0, 0xF0), 2),
}
_DATA |= {**dict.fromkeys(range(0xF1, 0xFF), 0), 0xF1: 1, 0xF2: 2, 0xF3: 1}
"""Data bytes after each status byte."""


class StructureError(Exception):
    """The file is damaged, or too large; the text says how, without the file's name."""


@dataclass(slots=True)
class _Walk:
    """Where the walk is, and what it has met."""

    data: bytes
    at: int = 0
    events: int = 0
    notes: int = 0

    def number(self) -> int:
        """A variable-length number. Raises IndexError at the file's end."""
        start, value = self.at, 0
        while True:
            byte = self.data[self.at]
            self.at += 1
            value = value << 7 | byte & 0x7F
            if byte < 0x80:  # noqa: PLR2004 - the highest bit: another byte follows
                return value
            if self.at - start == LONGEST_NUMBER:
                raise StructureError(
                    f"is damaged near byte {start} (a number without an end); copy or export it again."
                )

    def track(self, end: int) -> None:
        """The events up to there. Raises IndexError at the file's end, KeyError where no status byte is known."""
        status = 0
        while self.at < end:
            self.number()
            if self.data[self.at] >= 0x80:  # noqa: PLR2004 - a status byte; otherwise the last one goes on
                status = self.data[self.at]
                self.at += 1
            self.events += 1
            if status == _META:
                self.at += 1
            if status in (_META, _SYSEX, _ESCAPE):
                length = self.number()
                self.at += length
            else:
                if status & 0xF0 == _NOTE_ON and self.data[self.at + 1]:
                    self.notes += 1
                self.at += _DATA[status]
            if self.notes > MOST_NOTES or self.events > MOST_EVENTS:
                most = f"a take may have {MOST_NOTES:,} notes and {MOST_EVENTS:,} events"
                raise StructureError(f"holds too much: {most}. Save the part you mean as a file of its own.")


def check_structure(data: bytes) -> None:
    """Nothing, if the file can be read within bounds.

    Raises StructureError if it holds too much or is damaged in a way that would take for ever to read. Other damage is
    left to whoever reads it.
    """
    walk = _Walk(data)
    try:
        while walk.at + CHUNK_HEAD <= len(data):
            name = data[walk.at : walk.at + len(TRACK)]
            end = walk.at + CHUNK_HEAD + int.from_bytes(data[walk.at + len(TRACK) : walk.at + CHUNK_HEAD])
            walk.at += CHUNK_HEAD
            if name == TRACK:
                walk.track(end)
            elif name == HEADER:
                walk.at = end
            else:
                return
    except (IndexError, KeyError):  # it is cut off, or begins without a status byte: its reader stops there too
        return
