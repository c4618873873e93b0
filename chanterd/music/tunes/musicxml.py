"""Tunes in MusicXML 4.0 (W3C Community Group report, 2021), plain or compressed (``.mxl``).

Read: of the parts the first whose notes the chanter has, and of that the first voice: pitches, durations, gracenotes,
ties, rests, time signatures, repeats and endings. C and F are taken as the pipe scale has them, whatever the key says.
What else there is to see on the page (words, slurs, beams, layout) is passed over.
"""

import lzma
import re
import zipfile
import zlib
from fractions import Fraction
from io import BytesIO

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.tunes.abc import MOST_BEATS, SHARPENED, UNITS
from chanterd.music.tunes.builder import TuneBuilder
from chanterd.music.tunes.tune import Meter, Tune
from chanterd.music.tunes.xml_tree import Element, read_xml

LARGEST = 5_000_000
"""Bytes of a document, also after it is unpacked."""
METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
"""How a file may be packed, by MusicXML 4.0."""
JUMPS = ("dacapo", "dalsegno", "tocoda")
"""Attributes of a sound that lead elsewhere."""
LONGEST_NUMBER = 9
"""Digits; no number in a score has more."""
_DURATION = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,6})?")
_DIATONIC = {letter: index for index, letter in enumerate("CDEFGAB")}
_LOW_G = _DIATONIC["G"] + 7 * 4
"""Steps of the scale from C in octave 0 to low G, which is written in octave 4."""


def read_musicxml(data: bytes) -> Tune:
    """The tune in a MusicXML document. Raises ChanterdError if it is none, with the line."""
    root = read_xml(data)
    if root.name != "score-partwise":
        raise ChanterdError(f"it is not a MusicXML score by parts but '{root.name}'; export it as MusicXML, partwise")
    parts = list(root.all("part"))
    if not parts:
        raise ChanterdError("it has no part in it, so there is nothing to read")
    part = next((one for one in parts if _is_for_chanter(one)), parts[0])
    reader = _Reader()
    reader.tune.title = (
        root.words("work", "work-title") or root.words("movement-title") or root.words("credit", "credit-words")
    )
    for measure in part.all("measure"):
        reader.measure(measure)
    return reader.tune.tune()


def unpacked(data: bytes) -> bytes:
    """The score in a compressed file. Raises ChanterdError if it is none, or too large when unpacked."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as archive:
            if any(member.compress_type not in METHODS for member in archive.infolist()):
                raise ChanterdError("it is packed in a way that MusicXML does not use; save it again")
            container = read_xml(_member(archive, "META-INF/container.xml"))
            root = container.first("rootfiles", "rootfile")
            if root is None:
                raise ChanterdError("its container names no score")
            return _member(archive, root.attributes.get("full-path", ""))
    except DAMAGE as error:
        raise ChanterdError("it is not a compressed MusicXML file, or it is damaged") from error


def _member(archive: zipfile.ZipFile, name: str) -> bytes:
    with archive.open(name) as file:
        data = file.read(LARGEST + 1)  # what the archive says of its size is not believed
    if len(data) > LARGEST:
        raise ChanterdError(f"'{name}' in it is larger than {LARGEST // 1_000_000} MB when unpacked")
    return data


DAMAGE = (
    *(zipfile.BadZipFile, zlib.error, lzma.LZMAError, EOFError, OSError),
    *(KeyError, ValueError, RuntimeError, NotImplementedError),  # no such member, odd names, passwords, odd methods
)
"""What zipfile raises over an archive that it cannot read."""


def _is_for_chanter(part: Element) -> bool:
    """Whether most of its notes are the chanter's: a drum's have no pitch, a bass's are lower."""
    notes = [note for measure in part.all("measure") for note in measure.all("note") if note.first("rest") is None]
    ours = [note for note in notes if (pitch := note.first("pitch")) is not None and 0 <= _rank(pitch) < len(Note)]
    return 2 * len(ours) > len(notes)


def _rank(pitch: Element) -> int:
    """How many steps of the scale a pitch is above low G; far below it if it is no pitch."""
    step = pitch.words("step")
    return _DIATONIC[step] + 7 * _whole(pitch.words("octave")) - _LOW_G if step in _DIATONIC else -_LOW_G


class _Reader:
    """Reads measure by measure."""

    def __init__(self) -> None:
        self.tune = TuneBuilder()
        self._divisions = 1
        self._voice: str | None = None
        self._ending: tuple[int, ...] = ()

    def measure(self, measure: Element) -> None:
        """One measure; its own voice is laid end to end, whatever other voices there are."""
        closes = double = False
        times = 2
        start = self.tune.at
        at = start
        for child in measure.children:
            match child.name:
                case "attributes":
                    self._attributes(child)
                case "note":
                    at = self._note(child, at)
                case "backup":
                    at = max(start, at - self._duration(child))
                case "forward":
                    at += self._duration(child)
                case "sound" | "direction":
                    self._jump(child if child.name == "sound" else child.first("sound"))
                case "barline":
                    repeat = child.first("repeat")
                    direction = "" if repeat is None else repeat.attributes.get("direction", "")
                    ending = child.first("ending")
                    kind = "" if ending is None else ending.attributes.get("type")
                    if ending is not None and kind == "start":
                        self.tune.ending(_times(ending.attributes.get("number", "1")))
                    if direction == "forward":
                        self.tune.bar_line(opens=True)
                    if direction == "backward" and repeat is not None:
                        closes, times = True, max(2, _whole(repeat.attributes.get("times", "2")))
                    right = child.attributes.get("location", "right") == "right"
                    ends = kind in ("stop", "discontinue")  # so does its bracket, whatever line is drawn
                    double = double or ends or (right and child.words("bar-style") in ("light-light", "light-heavy"))
        self.tune.bar_line(closes=closes, double=double, times=times)

    def _jump(self, sound: Element | None) -> None:
        """Say of a jump that it is not followed."""
        if sound is not None and any(sound.attributes.get(jump) for jump in JUMPS):
            self._remark(sound, "A jump such as D.C. is not followed; the tune goes on as it is written.")

    def _attributes(self, attributes: Element) -> None:
        divisions = attributes.words("divisions")
        if divisions:
            if _whole(divisions):
                self._divisions = _whole(divisions)
            else:
                self._remark(
                    attributes, f"The divisions '{divisions[:20]}' are not understood; a whole number is meant."
                )
        time = attributes.first("time")
        if time is None:
            return
        if time.first("senza-misura") is not None:
            self.tune.meter(None)
            return
        beats, unit = time.words("beats"), time.words("beat-type")
        count = sum(_whole(one) for one in beats[:LONGEST_NUMBER].split("+"))
        if 0 < count <= MOST_BEATS and _whole(unit) in UNITS:
            self.tune.meter(Meter(count, _whole(unit)))
        else:
            self._remark(
                time, f"The time '{beats[:20]}/{unit[:20]}' is not understood; a fraction such as 6/8 is meant."
            )

    def _note(self, note: Element, at: Fraction) -> Fraction:
        """Take a note; where the cursor is after it."""
        if note.first("chord") is not None:
            self._remark(note, "The chanter plays one note at a time; of several at once the first is read.")
            return at
        grace = note.first("grace") is not None
        lasts = Fraction(0) if grace else self._duration(note)
        voice = note.words("voice") or "1"
        self._voice = self._voice or voice
        if voice != self._voice or note.first("cue") is not None:
            return at + lasts
        if at > self.tune.at:
            self.tune.rest(at - self.tune.at)
        pitch = self._pitch(note)
        if grace:
            if pitch is not None:
                self.tune.grace([pitch], note.line, note.column)
        elif not lasts:
            self._remark(note, "A note or rest without a duration is left out.")
        elif pitch is None:
            self.tune.rest(lasts)
        else:
            self.tune.note(pitch, lasts)
            if _is_tied(note):
                self.tune.tie()
        return at + lasts

    def _duration(self, element: Element) -> Fraction:
        """How long, as a fraction of a whole note."""
        words = element.words("duration")
        if _DURATION.fullmatch(words):
            return Fraction(words) / (4 * self._divisions)
        self._remark(element, f"The duration '{words[:20]}' is not understood; it is read as 0.")
        return Fraction(0)

    def _pitch(self, note: Element) -> Note | None:
        """The note of the chanter; None for a rest, and with a remark for what the chanter does not have."""
        pitch = note.first("pitch")
        if pitch is None:
            if note.first("rest") is None:
                self._remark(note, "A note without a pitch is left out.")
            return None
        step, octave, alter = pitch.words("step"), pitch.words("octave"), pitch.words("alter")
        rank = _rank(pitch)
        if not 0 <= rank < len(Note):
            said = f"{step[:5]}{octave[:5]} is beyond the nine notes of the chanter, low G to high A; it is left out."
            self._remark(note, said)
            return None
        found = Note(rank)
        if alter not in ("", "0", "1" if found in SHARPENED else "0"):
            self._remark(note, f"The chanter has no other {found.words} than its own; it is read as that.")
        return found

    def _remark(self, element: Element, said: str) -> None:
        self.tune.remark(element.line, element.column, said)


def _times(words: str) -> tuple[int, ...]:
    found = tuple(_whole(one) for one in words[:100].replace(",", " ").split() if _whole(one))
    return found or (1,)


def _is_tied(note: Element) -> bool:
    """Whether it goes on in the next: by its sound, or, where a writer leaves that out, by what is drawn."""
    drawn = note.first("notations")
    ties = [*note.all("tie"), *(() if drawn is None else drawn.all("tied"))]
    return any(tie.attributes.get("type") == "start" for tie in ties)


def _whole(words: str) -> int:
    """A whole number; 0 if it is none, or far too large."""
    words = words.strip()
    return int(words) if words.isdecimal() and len(words) <= LONGEST_NUMBER else 0
