"""The simulated player: plays a cue as MIDI messages, with human timing and human mistakes. Pure and seeded.

Timing has two levels, a timekeeper and fingers (Wing & Kristofferson 1973, from memory): each beat's error is the last
one, partly taken back (linear phase correction, Vorberg & Wing 1996, from memory), plus new noise; each onset then
adds a delay of its own. The lead goes by one beat, the ornament and its theme note together by the next. Where no click
is heard nothing is taken back, and the tempo is the player's own.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, pairwise
from random import Random

import mido

from chanterd.hearing.cued import CuedSource, Timed
from chanterd.hearing.habits import GOOD, ExtraKind, Habits, Played, Truth
from chanterd.hearing.source import Cue, Phrase, SourceStatus
from chanterd.music.fingering import crossing_notes, fingers_moved
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Ns

DEMO = "demo"
"""What the simulated player is called as an input: what was played by it must be called simulated everywhere."""
SETTLES_REPS = 4
"""After this many reps a player who settles slowly is half as late."""
STEP_AT_MOST_MS = 200.0
"""A note that is to be shorter is a step of an ornament, which can be crushed, missed or mistaken."""
GAP_MS = 3.0
"""Nothing follows sooner: a note-off and a note-on take 1.92 ms on a MIDI wire (MIDI 1.0: 320 us a byte)."""
RELEASE_MS = 0.96
"""By how much a note-off precedes the next note-on: three bytes on a MIDI wire."""
SCALE_NOTE_NS = Ns(600 * NS_PER_MS)


@dataclass(frozen=True, slots=True)
class PlayedRep:
    """One rep: what was sent, and (for tests and benchmarks) what it was."""

    messages: tuple[Timed, ...]
    """In order of time, stamped from beat 0."""
    truth: Truth


@dataclass(slots=True)
class _Stroke:
    """A note about to be played; times in ms from beat 0."""

    at_ms: float
    note: Note
    step: int | None
    extra: ExtraKind | None = None
    until_ms: float = 0.0


class SimulatedPlayer:
    """Plays one cue, rep after rep; the same seed, habits and cue give the same messages."""

    def __init__(self, cue: Cue, seed: int, habits: Habits = GOOD) -> None:
        self._random = Random(seed)  # noqa: S311 - play, not secrets
        self._habits = habits
        self._cue = cue
        self._pace = 1.0 - habits.hurry if cue.click_off else 1.0
        self._correction = 0.0 if cue.click_off else habits.correction
        self._rep_ms = cue.rep_ns / NS_PER_MS * self._pace
        self._taps = (
            len({note for one in cue.phrases for note in one.notes}) == 1
        )  # one note over and over must be released to sound again
        self._error_ms = 0.0
        self._sounding: _Stroke | None = None

    def reps(self) -> Iterator[PlayedRep]:
        """Rep 0, 1, 2, ... without end. The last note of a rep is released in the next one."""
        rep = 0
        while True:
            strokes = self._as_sounded(self._intended(rep))
            messages = self._messages(strokes)
            onsets = tuple(Played(_ns(one.at_ms), one.note, one.step, one.extra) for one in strokes)
            yield PlayedRep(messages, Truth(rep, onsets))
            rep += 1

    def let_go(self, at_ns: Ns) -> tuple[Timed, ...]:
        """Stop blowing then, or as soon after as the last note has sounded at all."""
        if self._sounding is None:
            return ()
        at_ns = max(at_ns, _ns(self._sounding.at_ms + GAP_MS))
        return ((mido.Message("note_off", note=self._sounding.note.midi, velocity=0), at_ns),)

    def _intended(self, rep: int) -> list[_Stroke]:
        """The rep with the player's timing and mistakes, before fingers and chanter set their limits."""
        habits, random, start_ms = self._habits, self._random, rep * self._rep_ms
        phrase = self._cue.phrase(rep)
        offsets_ms = [offset / NS_PER_MS * self._pace for offset in phrase.offsets_ns]
        settling = habits.settles_ms * 0.5 ** (rep / SETTLES_REPS)
        lead_error, error = self._next_error() + settling, self._next_error() + settling
        if random.random() < habits.wind_up:
            error += random.uniform(60.0, 120.0)
        if random.random() < habits.skipped:
            return []
        strokes = [
            _Stroke(
                start_ms + offset + (error if step else lead_error) + random.gauss(0, habits.step_sd_ms), note, step
            )
            for step, (note, offset) in enumerate(zip(phrase.notes, offsets_ms, strict=True))
        ]
        lengths = [after - before for before, after in pairwise(offsets_ms)]
        steps = [one for one, length in enumerate(lengths) if one and length <= STEP_AT_MOST_MS]
        if steps and random.random() < habits.crushed:
            strokes[steps[-1]].at_ms = strokes[steps[-1] + 1].at_ms - max(GAP_MS, random.gauss(11.0, 3.0))
        if steps and random.random() < habits.wrong:
            self._mistake(strokes, random.choice(steps))
        if steps and random.random() < habits.missing:
            strokes.pop(random.choice(steps))
        return strokes

    def _next_error(self) -> float:
        self._error_ms *= 1.0 - self._correction
        self._error_ms += self._random.gauss(0, self._habits.beat_sd_ms)
        return self._habits.bias_ms + self._error_ms

    def _mistake(self, strokes: list[_Stroke], step: int) -> None:
        """Play a neighbouring note instead, other than those on both sides."""
        stroke = strokes[step]
        taken = {stroke.note, strokes[step - 1].note, strokes[step + 1].note}
        near = sorted((note for note in Note if note not in taken), key=lambda note: abs(note - stroke.note))
        stroke.note = self._random.choice(near[:2])

    def _as_sounded(self, intended: list[_Stroke]) -> list[_Stroke]:
        """What sounds of it: in order, nothing before beat 0, no note twice running, with noises and bounces."""
        sounded: list[_Stroke] = []
        before = self._sounding
        for stroke in intended:
            if before is not None and before.note is stroke.note and not self._taps:
                continue
            earliest_ms = 0.0 if before is None else before.at_ms + GAP_MS
            stroke.at_ms = max(stroke.at_ms, earliest_ms)
            for one in (self._noise(before, stroke), stroke, self._bounce(stroke)):
                if one is not None:
                    sounded.append(one)
                    before = one
        return sounded

    def _noise(self, before: _Stroke | None, stroke: _Stroke) -> _Stroke | None:
        """A note passed through on the way, if the fingers do not move together and there is room for it."""
        if before is None or fingers_moved(before.note, stroke.note) < 2:  # noqa: PLR2004 - one finger is never apart
            return None
        between = sorted(crossing_notes(before.note, stroke.note))
        at_ms = stroke.at_ms - self._random.uniform(6.0, 25.0)
        if not between or self._random.random() >= self._habits.crossing or at_ms < before.at_ms + 2 * GAP_MS:
            return None
        return _Stroke(at_ms, self._random.choice(between), None, "crossing noise")

    def _bounce(self, stroke: _Stroke) -> _Stroke | None:
        if self._random.random() >= self._habits.bounce:
            return None
        return _Stroke(stroke.at_ms + self._random.uniform(GAP_MS, 6.0), stroke.note, None, "bounce")

    def _messages(self, strokes: list[_Stroke]) -> tuple[Timed, ...]:
        """A note-on for each stroke and the note-off of the one before it."""
        line = strokes if self._sounding is None else [self._sounding, *strokes]
        timed = [(_ns(one.at_ms), mido.Message("note_on", note=one.note.midi, velocity=64)) for one in strokes]
        for position, (one, after) in enumerate(pairwise(line)):
            # Of what the next rep brings only this is certain: it leaves a gap.
            room_ms = line[position + 2].at_ms - after.at_ms if position + 2 < len(line) else GAP_MS
            off_ms = self._let_go_ms(one, after, room_ms)
            timed.append((_ns(off_ms), mido.Message("note_off", note=one.note.midi, velocity=0)))
        self._sounding = line[-1] if line else None
        timed.sort(key=lambda one: one[0])
        return tuple((message, at_ns) for at_ns, message in timed)

    def _let_go_ms(self, one: _Stroke, after: _Stroke, room_ms: float) -> float:
        if one.note is after.note and after.extra is None:
            return (one.at_ms + after.at_ms) / 2
        if one.note is not after.note and self._random.random() < self._habits.overlap:
            # Well before the next change, which may bring this note again.
            return after.at_ms + min(self._random.uniform(1.0, 15.0), 0.4 * room_ms)
        return after.at_ms - RELEASE_MS


def perform(cue: Cue, reps: int, seed: int, habits: Habits = GOOD) -> tuple[tuple[Timed, ...], tuple[Truth, ...]]:
    """Several reps at once, the last one released at its end, with the truth about each: for takes and tests."""
    player = SimulatedPlayer(cue, seed, habits)
    played = list(islice(player.reps(), reps))
    messages = [timed for one in played for timed in one.messages]
    messages += player.let_go(Ns(reps * cue.rep_ns))
    return tuple(messages), tuple(one.truth for one in played)


def scale_cue(beat0_ns: Ns, note_ns: Ns = SCALE_NOTE_NS) -> Cue:
    """The scale from low G to high A, each note equally long, and as long a rest after it: to teach a chanter."""
    offsets = tuple(Ns(rank * note_ns) for rank in range(len(Note)))
    return Cue(beat0_ns, Ns(note_ns * (len(Note) + 1)), (Phrase(tuple(Note), offsets),))


def scale_messages(seed: int = 1, habits: Habits = GOOD) -> tuple[Timed, ...]:
    """The scale played once, stamped from its beginning."""
    return perform(scale_cue(Ns(0)), 1, seed, habits)[0]


class DemoSource(CuedSource):
    """The simulated player as an input: plays what is cued until the cue is withdrawn. No two runs are alike."""

    def __init__(self, seed: int = 1, habits: Habits = GOOD, name: str = DEMO) -> None:
        self._seeds = Random(seed)  # noqa: S311 - play, not secrets
        self._habits = habits
        super().__init__(name, self._play_on, SourceStatus("ready", "The simulated player starts with the practice."))

    def _play_on(self, cue: Cue) -> Iterator[Timed]:
        if cue.performance is not None:
            yield from cue.performance(self._seeds.getrandbits(32))
            return
        player = SimulatedPlayer(cue, self._seeds.getrandbits(32), self._habits)
        for rep in player.reps():
            yield from rep.messages


def _ns(ms: float) -> Ns:
    return Ns(round(ms * NS_PER_MS))
