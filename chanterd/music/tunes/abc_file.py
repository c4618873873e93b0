"""ABC files cut into tunes: which lines belong to which tune, and what the file's own header says for all of them.

By ABC 2.1 a tune begins with ``X:`` and ends with an empty line. Many real files leave the empty line out, use a number
twice, or have fields before the first tune; all that is borne. Lines count from 1.
"""

import re
from codecs import BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

from chanterd.config import ChanterdError

FIELD = re.compile(r"([A-Za-z+]):(.*)")
MOST_LINES, MOST_TUNES = 100_000, 1000
"""Of a file; more than as many notes as may be in it need."""
_COMMENT = re.compile(r"(?<!\\)%.*")
_LINE_END = re.compile(r"\r\n|\r|\n")
"""Other signs that end a line in some texts are none in ABC, and may be letters of another code."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a file, without its comment."""

    number: int
    text: str

    @property
    def field(self) -> tuple[str, str] | None:
        """The letter of a field and what it holds; None for a line of music."""
        match = FIELD.match(self.text)
        return None if match is None else (match[1], match[2].strip())


def decoded(data: bytes) -> str:
    """The text of a file: UTF-8, UTF-16 with its mark, or, as older files are, Windows-1252 or Latin-1.

    Raises ChanterdError if it is no text.
    """
    if data.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
        return data.decode("utf-16", errors="replace")
    if b"\0" in data:
        raise ChanterdError("it is not a text file")
    for code in ("utf-8-sig", "cp1252"):
        with suppress(UnicodeDecodeError):
            return data.decode(code)
    return data.decode("latin-1")


def tunes_in(text: str) -> list[list[Line]]:
    """The lines of each tune, those of the file's header before them.

    Raises ChanterdError if there are more lines or tunes than any collection has.
    """
    if (lines := text.count("\n") + text.count("\r")) > MOST_LINES:
        raise ChanterdError(f"it has {lines:,} lines; divide it into files of {MOST_LINES:,} at most")
    shared: list[Line] = []
    tunes: list[list[Line]] = []
    tune: list[Line] | None = None
    for line in _lines(text):
        field = line.field
        if field is not None and field[0] == "X":
            if len(tunes) == MOST_TUNES:
                raise ChanterdError(f"it holds more than {MOST_TUNES:,} tunes; divide it into several files")
            tune = [*shared, line]
            tunes.append(tune)
        elif not line.text.strip():
            tune = None
        elif tune is not None:
            tune.append(line)
        elif not tunes and field is not None:
            shared.append(line)
    return tunes


def _lines(text: str) -> Iterator[Line]:
    for number, raw in enumerate(_LINE_END.split(text), 1):
        if raw.lstrip().startswith("%"):
            continue  # a comment or a direction for printing; it does not end a tune, as an empty line does
        yield Line(number, _COMMENT.sub("", raw).rstrip())
