"""From MIDI messages to what was heard: one note at a time, as a chanter sounds. Pure and quick.

Whatever the chanter sends (overlapping notes, note-on with velocity 0, drones, bounces, unknown numbers), the
result is onsets, silences and strays. A lost note-off can leave a note held underneath; the next time that note is
played puts it right, and it never hides a newer one.
"""

import mido

from chanterd.hearing.chanter import Profile
from chanterd.music.heard import Heard, Onset, Silence, Stray
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Ns

QUIET_CONTROLS = frozenset({120, 123, 124, 125, 126, 127})
"""All-sound-off, all-notes-off, and the mode changes that switch all notes off too (MIDI 1.0, from memory)."""


class Ear:
    """Listens to one chanter. Feed it every message in the order of arrival; stamps must not run backwards."""

    def __init__(self, profile: Profile) -> None:
        self._notes = [profile.notes.get(midi) for midi in range(128)]
        self._drones = profile.drones
        self._channel = None if profile.channel is None else profile.channel - 1
        self._bounce_ns = round(profile.bounce_ms * NS_PER_MS)
        self._held: list[int] = []  # oldest first; the last one is what sounds
        self._last: Note | None = None  # the note last passed on, sounding or released
        self._touched_ns = 0  # when that note was last pressed or released

    @property
    def sounding(self) -> Note | None:
        """The note that sounds now, if any."""
        return self._notes[self._held[-1]] if self._held else None

    @property
    def held(self) -> tuple[int, ...]:
        """The MIDI numbers that are pressed, the oldest first."""
        return tuple(self._held)

    def hear(self, message: mido.Message, at_ns: Ns) -> tuple[Heard, ...]:
        """What that message means, in order; an empty tuple if nothing to the listener."""
        kind = message.type
        if kind in ("note_on", "note_off"):
            if self._channel is not None and message.channel != self._channel:
                return ()
            if kind == "note_on" and message.velocity:
                return self._press(message.note, at_ns)
            return self._release(message.note, at_ns)
        if kind == "control_change":
            ours = self._channel is None or message.channel == self._channel
            return self.quiet(at_ns) if ours and message.control in QUIET_CONTROLS else ()
        return self.quiet(at_ns) if kind == "reset" else ()

    def quiet(self, at_ns: Ns) -> tuple[Heard, ...]:
        """Nothing sounds any longer: all-notes-off, or the chanter was unplugged."""
        if not self._held:
            return ()
        self._held.clear()
        self._touched_ns = at_ns
        return (Silence(at_ns),)

    def _press(self, midi: int, at_ns: Ns) -> tuple[Heard, ...]:
        note = self._notes[midi]
        if note is None:
            return () if midi in self._drones else (Stray(midi, at_ns),)
        if midi in self._held:
            self._held.remove(midi)
        self._held.append(midi)
        # With another note between, it is no bounce: whoever leaves bounces out must still know what sounds.
        bounce = note is self._last and at_ns - self._touched_ns <= self._bounce_ns
        self._last = note
        self._touched_ns = at_ns
        return (Onset(note, at_ns, bounce),)

    def _release(self, midi: int, at_ns: Ns) -> tuple[Heard, ...]:
        if midi not in self._held:
            return ()
        sounded = self._held[-1] == midi
        self._held.remove(midi)
        if not sounded:
            return ()
        self._touched_ns = at_ns
        if not self._held:
            return (Silence(at_ns),)
        older = self._notes[self._held[-1]]
        if older is None or older is self._last:  # the same note under a second number: it sounds on
            return ()
        self._last = older
        return (Onset(older, at_ns),)
