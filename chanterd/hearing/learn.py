"""Learning an unknown chanter from its scale, played once from low G to high A. Pure: fed with messages and the time.

Any nine different MIDI numbers will do, on any channel, rising or not. With every message, all that was heard is
read again from the beginning: a drone or a crossing noise that looked like a note at first is dropped at once.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import mido

from chanterd.hearing.chanter import Profile
from chanterd.hearing.ear import QUIET_CONTROLS
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Ns

NOISE_NS = 60 * NS_PER_MS
"""A shorter note is a crossing noise or a bounce: nobody plays a scale this fast. Our choice; fingers are tens
of ms apart in woodwind players (Almeida et al. 2009, JASA 126:1521)."""
DRONE_NS = 250 * NS_PER_MS
"""A note that still sounds this long after the second one to begin after it is a drone. Our choice."""
PAUSE_NS = 500 * NS_PER_MS
"""After a mistake, the first note after a silence this long is low G again. Our choice."""
MOST_PRESSES = 300
"""Notes that are read again with every message; anybody who plays more without a scale is not playing one."""
START = "Play the scale slowly, one note at a time, from low G up to high A."
AGAIN = "Stop for a moment, then play the scale again from low G."
NOT_RISING = (
    "Their MIDI numbers do not rise from note to note. That is right for some chanters; "
    "if you played the notes in another order, start again."
)


@dataclass(frozen=True, slots=True)
class Learned:
    """How far it has got."""

    state: Literal["running", "done"]
    next_note: Note | None
    """The note wanted next; None when done."""
    heard: int
    """How many of the nine notes are known, 0 to 9."""
    said: str
    """What the player reads."""
    profile: Profile | None = None
    """Set when done."""


@dataclass(slots=True)
class _Press:
    channel: int
    midi: int
    on_ns: int
    off_ns: int | None = None

    def end_ns(self, now_ns: int) -> int:
        return now_ns if self.off_ns is None else self.off_ns


class Learner:
    """Feed it messages with ``hear``; call ``wait`` several times a second so that a held note counts in time."""

    def __init__(self, name: str = "my chanter") -> None:
        self._name = name
        self._presses: list[_Press] = []
        self._learned = Learned("running", Note.LOW_G, 0, START)

    def hear(self, message: mido.Message, at_ns: Ns) -> Learned:
        """Take one message; once done, nothing changes any more."""
        if self._learned.state == "running":
            if message.type == "note_on" and message.velocity:
                self._release(message.channel, message.note, at_ns)
                self._presses.append(_Press(message.channel, message.note, at_ns))
                del self._presses[:-MOST_PRESSES]
            elif message.type in ("note_on", "note_off"):
                self._release(message.channel, message.note, at_ns)
            elif message.type == "reset" or (message.type == "control_change" and message.control in QUIET_CONTROLS):
                self._release(None, None, at_ns)
        return self.wait(at_ns)

    def wait(self, now_ns: Ns) -> Learned:
        """How far it has got by now."""
        if self._learned.state == "running":
            self._learned = _ScaleReading(self._presses, now_ns).learned(self._name)
        return self._learned

    def _release(self, channel: int | None, midi: int | None, at_ns: Ns) -> None:
        for press in self._presses:
            if press.off_ns is None and midi in (None, press.midi) and channel in (None, press.channel):
                press.off_ns = at_ns


class _ScaleReading:
    """All that was pressed so far, read from the beginning."""

    def __init__(self, presses: list[_Press], now_ns: int) -> None:
        # A number pressed again was released before, so the next press but one is always of another number.
        self._drones = {
            (press.channel, press.midi)
            for press, second in zip(presses, presses[2:], strict=False)
            if press.end_ns(now_ns) - second.on_ns >= DRONE_NS
        }
        self._scale: list[_Press] = []
        self._first: int | None = None  # the number that was low G before a mistake
        self._mistaken: Note | None = None  # which note the repeated number was
        free_ns = 0
        for press in presses:
            if (press.channel, press.midi) in self._drones:
                continue
            if press.end_ns(now_ns) - press.on_ns >= NOISE_NS:
                self._take(press, press.on_ns - free_ns)
            free_ns = max(free_ns, press.end_ns(now_ns))

    def learned(self, name: str) -> Learned:
        known = len(self._scale)
        if known == len(Note):
            rising = all(a.midi < b.midi for a, b in pairwise(self._scale))
            said = "All nine notes are known." if rising else f"All nine notes are known. {NOT_RISING}"
            return Learned("done", None, known, said, self._profile(name))
        if known:
            said = f"Heard {Note(known - 1).words}. Now play {Note(known).words}."
        elif self._mistaken is not None:
            said = f"That was the same as {self._mistaken.words}. {AGAIN}"
        else:
            said = START
        return Learned("running", Note(known), known, said)

    def _take(self, press: _Press, silence_ns: int) -> None:
        numbers = [one.midi for one in self._scale]
        if self._mistaken is not None and not numbers and press.midi != self._first and silence_ns < PAUSE_NS:
            return
        if press.midi not in numbers:
            self._scale.append(press)
        elif press.midi == numbers[0] and len(numbers) > 1:
            self._scale = [press]
        elif press.midi != numbers[-1]:
            self._first, self._mistaken = numbers[0], Note(numbers.index(press.midi))
            self._scale = []

    def _profile(self, name: str) -> Profile:
        notes = {press.midi: Note(rank) for rank, press in enumerate(self._scale)}
        channels = {press.channel for press in self._scale}
        elsewhere = any(channel not in channels for channel, _ in self._drones)
        return Profile(
            name=name,
            said="Learned from the scale, played once.",
            notes=notes,
            # The channel matters only if a drone sounds on another one.
            channel=channels.pop() + 1 if elsewhere and len(channels) == 1 else None,
            drones=frozenset(midi for _, midi in self._drones if midi not in notes),
        )
