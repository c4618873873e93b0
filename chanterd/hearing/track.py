"""Writing a take while its messages arrive: events of one MIDI track, and the file around them.

Conventions: times count in ns from beat 0, a click is a quarter note; a take begun before beat 0 has a lead-in of
whole clicks, and the marker ``beat 0`` after it, which ``take`` reads. Stamps are rounded to a tick: 40 us at 60.
The file is a Standard MIDI File of type 1, whose first track holds the tempo and the marker and whose second is played.
"""

import io
import math
from collections.abc import Iterable, Sequence
from fractions import Fraction

import mido
from mido.midifiles.meta import encode_variable_int

US_PER_MINUTE = 60_000_000
WRITTEN_TICKS = 25_000
"""Ticks to the quarter note in files we write: 40 us each at 60 clicks a minute, far below a MIDI byte's 320 us."""
BEAT_0 = "beat 0"
"""The text of the marker."""
_CHANNELS = 16
ALL_SOUND_OFF = 120
LONGEST_WAIT = (1 << 28) - 1
"""Ticks from one event to the next: what four bytes of seven bits hold."""
_EMPTY_TEXT = b"\xff\x01\x00"
_TRACK_HEAD = 8
"""Bytes before a track's events: its name and its length."""


def tempo_us(click_bpm: float) -> int:
    """Microseconds to the click, as a file has it."""
    return round(US_PER_MINUTE / click_bpm)


def lead_in_for(first_ns: int, click_bpm: float) -> int:
    """How many whole clicks before beat 0 a take must begin to hold that time."""
    return max(0, math.ceil(Fraction(-first_ns, tempo_us(click_bpm) * 1000)))


class TrackWriter:
    """Turns messages into track events, a part at a time; the parts after each other are one track."""

    def __init__(self, click_bpm: float, lead_in: int = 0) -> None:
        self._tick = Fraction(WRITTEN_TICKS, tempo_us(click_bpm) * 1000)
        self._start = lead_in * WRITTEN_TICKS
        self._before = 0
        self._part = bytearray()

    def add(self, message: mido.Message, at_ns: int) -> None:
        """Write one; what no file can hold is left out, what is before its start or the last one is moved there."""
        for event in _events(message):
            tick = max(self._before, self._start + round(at_ns * self._tick))
            self._wait(tick - self._before)
            self._part += event
            self._before = tick

    def _wait(self, ticks: int) -> None:
        """Write the time before an event; a number has four bytes, so that a long rest has empty texts in it."""
        while ticks > LONGEST_WAIT:
            self._part += bytes(encode_variable_int(LONGEST_WAIT)) + _EMPTY_TEXT
            ticks -= LONGEST_WAIT
        self._part += bytes(encode_variable_int(ticks))

    def part(self) -> bytes:
        """What was written since the last time."""
        part = bytes(self._part)
        self._part.clear()
        return part


def _events(message: mido.Message) -> list[bytes]:
    """The message as a track has it: clocks and the like stay on the wire, a reset becomes sound going off."""
    if message.type == "reset":
        off = [mido.Message("control_change", channel=channel, control=ALL_SOUND_OFF) for channel in range(_CHANNELS)]
        return [bytes(one.bytes()) for one in off]
    if message.type == "sysex":
        return [bytes([0xF0, *encode_variable_int(len(message.data) + 1), *message.data, 0xF7])]
    return [bytes(message.bytes())] if hasattr(message, "channel") else []


def take_file(click_bpm: float, lead_in: int, parts: Sequence[bytes]) -> bytes:
    """The whole file."""
    conductor = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=tempo_us(click_bpm), time=0)])
    if lead_in:
        conductor.append(mido.MetaMessage("marker", text=BEAT_0, time=lead_in * WRITTEN_TICKS))
    whole = io.BytesIO()
    mido.MidiFile(type=1, ticks_per_beat=WRITTEN_TICKS, tracks=[conductor, mido.MidiTrack()]).save(file=whole)
    empty = whole.getvalue()
    end = len(empty) - len(_END_OF_TRACK) - _TRACK_HEAD
    events = b"".join(parts) + _END_OF_TRACK
    return empty[:end] + b"MTrk" + len(events).to_bytes(4, "big") + events


_END_OF_TRACK = b"\x00\xff\x2f\x00"


def whole_take(messages: Iterable[tuple[mido.Message, int]], click_bpm: float) -> bytes:
    """The file of messages that are all there, in any order."""
    ordered = sorted(messages, key=lambda timed: timed[1])
    lead_in = lead_in_for(ordered[0][1], click_bpm) if ordered else 0
    track = TrackWriter(click_bpm, lead_in)
    for message, at_ns in ordered:
        track.add(message, at_ns)
    return take_file(click_bpm, lead_in, [track.part()])
