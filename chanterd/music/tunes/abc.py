"""Tunes in ABC notation (the ABC music standard 2.1, abcnotation.com, 2011), as pipers write it.

Read: keys (C and F are taken as the pipe scale has them, whatever the key), L, M, note lengths, broken rhythm, tuplets,
ties, rests, gracenotes in all the ways they are found, bars, repeats, endings, the first of several voices, fields
within the music, continued lines, UTF-8 and Latin-1. Passed over in silence: decorations, chord names, slurs, words,
line breaks, directions. Anything else gives a remark with its line and column, and the rest is still read.
"""

import re
from collections.abc import Iterable
from fractions import Fraction

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.tunes.abc_file import Line, decoded, tunes_in
from chanterd.music.tunes.builder import Allowance, TuneBuilder
from chanterd.music.tunes.tune import Meter, Tune

PITCH = r"(?P<accidental>\^{1,2}|_{1,2}|=)?(?P<letter>[A-Ga-g])(?P<octave>[',]*)"
LENGTH = r"(?P<over>\d{0,3})(?P<slashes>/{0,6})(?P<under>\d{0,3})"
NOTE = re.compile(PITCH + LENGTH)
REST = re.compile(r"[zx]" + LENGTH)
BAR_REST = re.compile(r"[ZX](\d{0,3})")
GRACE = re.compile(r"\{([^}\n]*)\}?")
AT_ONCE = r"(?:[\^_=]*+[A-Ga-g][',]*+\d*+/*+\d*+-?+)++\]"
CHORD = re.compile(r"\[(?P<notes>" + AT_ONCE + ")" + LENGTH)
TUPLET = re.compile(r"\((\d)(?::(\d{0,2}))?(?::(\d{0,2}))?")
BROKEN = re.compile(r">{1,4}|<{1,4}")
VOICE = re.compile(r"\[V:([^\]]{0,200})\]")
INLINE = re.compile(r"\[([A-Za-z]):([^\]]{0,200})\]")
ENDING = re.compile(r"\[?\s*(?P<times>\d{1,2}(?:[,-]\d{1,2})*)|\[\s*\"(?P<words>[^\"]*)\"")
AFTER_BAR = re.compile(r"\s*\[?(?P<times>\d{1,2}(?:[,-]\d{1,2})*)(?P<words>)")
BAR = re.compile(r":*\[?\|(?:[|\]]|\[(?![A-Za-z]:|\s*[\d\"]|" + AT_ONCE + r"))*:*|::+|\[(?=\s|$)")
DECORATION = re.compile(r"!(?:[^!\s]{1,30})!|\+[a-zA-Z]{2,15}\+")
JUMP = re.compile(r"D\.?[CS]\.?|da(?:capo|coda)\b", re.IGNORECASE)
"""Decorations that lead back to the beginning, to a sign, or to the coda."""
QUOTED = re.compile(r"\"[^\"]*\"?")
PASSED_OVER = frozenset(" \t)$`\\*;~.!-(HIJKLMNOPQRSTUVWhijklmnopqrstuvwy")
"""Blanks, slurs, line breaks, and letters that stand for decorations."""

MOST_CHARACTERS = 500_000
"""Of all tunes in a file; more than as many notes as may be in it need."""
MOST_BEATS, UNITS = 64, (1, 2, 4, 8, 16, 32, 64)
"""What a time signature may hold."""
_DIATONIC = {letter: index for index, letter in enumerate("CDEFGAB")}
_LOW_G = 4
"""Steps of the scale from middle C's to low G."""
SHARPENED = frozenset((Note.C, Note.F))
"""What sounds sharp on the chanter."""

_TUPLET_IN_TIME_OF = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}
"""By the standard; of other tuplets two in simple time, three in compound."""


def read_abc(data: bytes) -> list[Tune]:
    """Every tune in a file of ABC; an empty list if there is no ``X:`` in it.

    Raises ChanterdError if it is no text, or holds more than any collection of tunes does.
    """
    tunes, allowance = tunes_in(decoded(data)), Allowance()
    if sum(len(line.text) for lines in tunes for line in lines) > MOST_CHARACTERS:
        raise ChanterdError(f"it holds more than {MOST_CHARACTERS:,} characters of tunes; divide it into several files")
    return [_Reader(lines, allowance).read() for lines in tunes]


class _Reader:
    """Reads the lines of one tune."""

    def __init__(self, lines: Iterable[Line], allowance: Allowance) -> None:
        self._lines = lines
        self._tune = TuneBuilder(allowance)
        self._unit: Fraction | None = None
        self._meter: Meter | None = None
        self._in_header = True
        self._voice: str | None = None
        self._silent = False  # another voice than the first
        self._line = 0
        self._broken: tuple[str, int] | None = None
        self._tuplet: tuple[Fraction, int] | None = None

    def read(self) -> Tune:
        for line in self._lines:
            self._line = line.number
            field = line.field
            if field is not None and not self._is_music(field):
                self._field(*field)
            else:
                self._in_header = False
                self._music(line.text)
        return self._tune.tune()

    @staticmethod
    def _is_music(field: tuple[str, str]) -> bool:
        """A line such as ``A: |`` or ``E:`` cannot be a field of the standard where it holds bars."""
        return field[0] in "abcdefg" or (field[0] in "ABCDEFG" and "|" in field[1])

    # --- fields

    def _field(self, letter: str, words: str) -> None:
        tune = self._tune
        match letter:
            case "V":
                self._change_voice(words)
            case _ if self._silent:
                pass
            case "K":
                self._in_header = False
            case "T" if not tune.title:
                tune.title = words
            case "R" if not tune.kind:
                tune.kind = words
            case "L":
                self._length(words)
            case "M":
                self._time(words)

    def _change_voice(self, words: str) -> None:
        """From here on, the notes of another voice; in the header voices are only described."""
        name = words.split(maxsplit=1)[0] if words.split() else ""
        self._voice = self._voice or name
        self._silent = not self._in_header and name != self._voice

    def _length(self, words: str) -> None:
        match = re.match(r"(\d{1,3})\s*/\s*(\d{1,3})\b", words)
        if match and int(match[1]) and int(match[2]):
            self._unit = Fraction(int(match[1]), int(match[2]))
        else:
            self._remark(0, f"The length 'L:{words[:20]}' is not understood; it must be a fraction such as 1/8.")

    def _time(self, words: str) -> None:
        plain = words.split("=", maxsplit=1)[0].strip() if "/" in words else words.strip()
        common = {"C": Meter(4, 4), "C|": Meter(2, 2), "none": None, "": None}
        if plain in common:
            self._meter = common[plain]
        elif (meter := _meter(plain)) is not None:
            self._meter = meter
        else:
            self._remark(0, f"The time 'M:{words[:20]}' is not understood; it must be a fraction such as 6/8.")
            return
        self._tune.meter(self._meter)

    @property
    def _unit_length(self) -> Fraction:
        """What a note without a length lasts; by the standard a sixteenth in short bars, else an eighth."""
        if self._unit is None:
            short = self._meter is not None and self._meter.bar < Fraction(3, 4)
            self._unit = Fraction(1, 16) if short else Fraction(1, 8)
        return self._unit

    # --- music

    def _music(self, text: str) -> None:
        at, size = 0, len(text)
        while at < size:
            at = self._skip(text, at) if self._silent else self._one(text, at)

    def _skip(self, text: str, at: int) -> int:
        """Pass over another voice, to where the voice changes again."""
        change = VOICE.search(text, at)
        if change is None:
            return len(text)
        self._change_voice(change[1])
        return change.end()

    def _one(self, text: str, at: int) -> int:
        """Read what is at that place; where the next thing is."""
        letter, tune = text[at], self._tune
        if letter == "{":
            found = GRACE.match(text, at)
            tune.grace(self._gracenotes(found[1], at + 1) if found else [], self._line, at + 1)
            return found.end() if found else at + 1
        if letter == "[":
            if inline := INLINE.match(text, at):
                self._field(inline[1], inline[2].strip())
                return inline.end()
            if chord := CHORD.match(text, at):
                return self._chord(chord, at)
            if ending := ENDING.match(text, at):
                tune.ending(_times(ending))
                return ending.end()
        if letter in "|:[" and (bar := BAR.match(text, at)) and bar.end() > at:
            return self._bar(text, bar)
        if letter == '"':
            quoted = QUOTED.match(text, at)
            return quoted.end() if quoted else at + 1
        if letter in "!+" and (decoration := DECORATION.match(text, at)):
            if JUMP.match(decoration[0], 1):
                self._remark(at, f"'{decoration[0]}' is not followed; the tune goes on as it is written.")
            return decoration.end()
        if letter == "(" and (tuplet := TUPLET.match(text, at)):
            self._begin_tuplet(tuplet)
            return tuplet.end()
        if letter in "<>" and (broken := BROKEN.match(text, at)):
            self._break(broken[0], at)
            return broken.end()
        if note := NOTE.match(text, at):
            self._note(note, at)
            return note.end()
        if rest := REST.match(text, at):
            tune.rest(self._timed(rest))
            return rest.end()
        if rest := BAR_REST.match(text, at):
            tune.rest((self._meter.bar if self._meter else Fraction(1)) * int(rest[1] or 1))
            return rest.end()
        if letter == "-":
            tune.tie()
        elif letter == "&":
            self._remark(at, "A second line of notes within the bar ('&') is left out.")
            end = text.find("|", at)
            return end if end > 0 else len(text)
        elif letter not in PASSED_OVER:
            self._remark(at, f"'{letter}' is not understood and is left out.")
        return at + 1

    def _bar(self, text: str, bar: re.Match[str]) -> int:
        sign = bar[0]
        head, _, tail = sign.partition("|") if "|" in sign else (sign, "", "")
        closes = head.startswith(":")
        opens = tail.endswith(":") or ("|" not in sign and closes)
        self._broken = None
        times = len(head) - len(head.lstrip(":")) + 1 if "|" in sign else 2  # by the standard '::|' is for three times
        self._tune.bar_line(closes=closes, opens=opens, double=len(sign.strip(":")) > 1 or closes, times=max(times, 2))
        ending = AFTER_BAR.match(text, bar.end())
        if ending and (text[bar.end()].isdigit() or "[" in ending[0]):
            self._tune.ending(_times(ending))
            return ending.end()
        return bar.end()

    def _gracenotes(self, text: str, column: int) -> list[Note]:
        found: list[Note] = []
        at = 0
        while at < len(text):
            note = NOTE.match(text, at)
            if note is None:
                if text[at] not in "/ \t~.()-><\\":
                    self._remark(column + at, f"'{text[at]}' among gracenotes is not understood and is left out.")
                at += 1
                continue
            one = self._pitch(note, column + at)
            found += [] if one is None else [one]
            at = note.end()
        return found

    def _chord(self, chord: re.Match[str], at: int) -> int:
        """Of notes at once, the first that the chanter has."""
        self._remark(at, f"The chanter plays one note at a time; of '{chord[0][:20]}' the first is read.")
        first = NOTE.match(chord["notes"])
        if first:
            own, outer = _length(first), _length(chord)
            lasts = self._in_time(own * outer)
            if lasts:
                self._sound(self._pitch(first, at + 1), lasts)
            if chord["notes"].endswith("-]"):
                self._tune.tie()
        return chord.end()

    def _note(self, match: re.Match[str], at: int) -> None:
        note, lasts = self._pitch(match, at), self._timed(match)
        if lasts:
            self._sound(note, lasts)
        else:
            self._remark(at, f"'{match[0]}' has no length and is left out.")

    def _sound(self, note: Note | None, lasts: Fraction) -> None:
        if note is None:
            self._tune.rest(lasts)
        else:
            self._tune.note(note, lasts)

    def _pitch(self, match: re.Match[str], at: int) -> Note | None:
        """The note of the chanter, or None with a remark."""
        letter, octave, accidental = match["letter"], match["octave"], match["accidental"]
        steps = _DIATONIC[letter.upper()] + 7 * letter.islower() + 7 * (octave.count("'") - octave.count(","))
        if not 0 <= steps - _LOW_G < len(Note):
            self._remark(at, f"'{match[0]}' is beyond the nine notes of the chanter, low G to high A; it is left out.")
            return None
        note = Note(steps - _LOW_G)
        if accidental and accidental != ("^" if note in SHARPENED else "="):
            said = f"The chanter has no other {note.words} than its own; '{match[0]}' is read as that."
            self._remark(at, said)
        return note

    # --- time

    def _timed(self, match: re.Match[str]) -> Fraction:
        return self._in_time(_length(match))

    def _in_time(self, length: Fraction) -> Fraction:
        """How long a note of that length lasts here: in a tuplet, or the second of a broken pair."""
        lasts = length * self._unit_length
        if self._broken is not None:
            sign, dots = self._broken
            short = Fraction(1, 2**dots)
            lasts *= short if sign == ">" else 2 - short
            self._broken = None
        if self._tuplet is not None:
            share, left = self._tuplet
            lasts *= share
            self._tuplet = (share, left - 1) if left > 1 else None
        return lasts

    def _break(self, signs: str, at: int) -> None:
        """``>``: the note before gets half as much again, the next half as much; ``<`` the other way round."""
        short = Fraction(1, 2 ** len(signs))
        if self._broken is not None:
            self._remark(at, f"There is no note between '{self._broken[0]}' and '{signs}'; the second is left out.")
        elif self._tune.stretch(2 - short if signs[0] == ">" else short):
            self._broken = (signs[0], len(signs))
        else:
            self._remark(at, f"There is no note before '{signs}' to take its time from; it is left out.")

    def _begin_tuplet(self, match: re.Match[str]) -> None:
        count = int(match[1])
        if count < 2:  # noqa: PLR2004 - one note in the time of another is none
            return
        compound = self._meter is not None and self._meter.beats > 3 and self._meter.beats % 3 == 0  # noqa: PLR2004
        in_time_of = int(match[2]) if match[2] else _TUPLET_IN_TIME_OF.get(count, 3 if compound else 2)
        self._tuplet = (Fraction(in_time_of, count), int(match[3]) if match[3] else count)

    def _remark(self, at: int, said: str) -> None:
        self._tune.remark(self._line, at + 1, said)


def _meter(words: str) -> Meter | None:
    """A fraction such as ``6/8`` or ``(2+3)/8``; None if it is none."""
    match = re.match(r"\(?\s*(\d{1,2}(?:\s*\+\s*\d{1,2}){0,9})\s*\)?\s*/\s*(\d{1,2})\b", words)
    if match is None:
        return None
    beats, unit = sum(map(int, match[1].split("+"))), int(match[2])
    return Meter(beats, unit) if 0 < beats <= MOST_BEATS and unit in UNITS else None


def _length(match: re.Match[str]) -> Fraction:
    """A length such as ``3/2``, ``/``, ``//`` or nothing, as a multiple of the unit."""
    over = int(match["over"]) if match["over"] else 1
    slashes, under = len(match["slashes"]), match["under"]
    if not slashes:
        return Fraction(over)
    below = int(under) * 2 ** (slashes - 1) if under else 2**slashes
    return Fraction(over, below or 1)


def _times(match: re.Match[str]) -> tuple[int, ...]:
    """The times through of an ending, from ``1``, ``1,3``, ``1-3`` or words such as ``1st``."""
    words = match["times"] or " ".join(re.findall(r"\d{1,2}", match["words"] or ""))
    found: list[int] = []
    for part in re.split(r"[,\s]+", words):
        first, _, last = part.partition("-")
        if first.isdecimal():
            found += range(int(first), (int(last) if last.isdecimal() else int(first)) + 1)
    return tuple(found) or (1,)
