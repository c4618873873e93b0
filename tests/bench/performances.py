"""Simulated performances with known truth: far harsher than the demo player, and never anybody's real playing.

Goal: MIDI messages as a chanter sends them, and for every onset the asked step that it was.

Why not the demo player of ``chanterd.hearing``: it neither restarts nor doubles nor drifts. This one plays worse, and
its rules of truth are these:

- The asked attempt is the one that reaches the theme note. Of an ornament that is broken off and begun again, or
  played twice, the last pass is the asked one, with the lead note if that is played again too; the rest is extra.
- Two equal notes in a row cannot be sounded. What is heard is one onset, at the first of them: it counts as the first
  *asked* step that sounds through it, and any later one has no onset (it is ``merged``).
- Where the second pass is nothing but the closing movement once more (two taps in a strike), it is an added movement
  if the first one was in time: faults are heard from the front (common practice, no source).
- A wrong note is paired with the step in whose place it came.
- A crossing noise, a bounce and a broken-off step are paired with nothing.

Truth is a set of pairs: (rep, asked step, index among the onsets that the ear passes on). Reps and onsets count from
0; the lead is step -1, the theme the last step. Times are in ms from beat 0 here, in ns on the messages. Pure, seeded.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import count, pairwise

import mido
import numpy as np

from chanterd.hearing.chanter import DEFAULT_PROFILE, Profile, load_profiles
from chanterd.hearing.cued import Timed
from chanterd.hearing.ear import Ear
from chanterd.music.drill import Drill, all_drills
from chanterd.music.fingering import crossing_notes, fingers_moved
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Onset
from chanterd.music.note import Note
from chanterd.music.segment import Segment, make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from tests.bench.conditions import Condition

BEAT0_NS = Ns(3_000 * NS_PER_MS)
"""Late enough that an early player's first note is still after time 0."""
GAP_MS = 4.0
"""Nothing follows sooner: two notes take 1.9 ms each on a MIDI wire (MIDI 1.0: 320 us a byte)."""
RELEASE_MS = 0.96
"""By how much a note-off precedes the next note-on: three bytes on a MIDI wire."""
SLOWEST, FASTEST = 50.0, 220.0
REPS, DRIFTING_REPS = 12, 36

Pair = tuple[int, int, int]
"""Rep, asked step, index of the onset."""


@dataclass(frozen=True, slots=True)
class Performance:
    """One run of a drill as it was played and heard, with the truth about it."""

    condition: str
    drill: Drill
    click_bpm: Bpm
    reps: int
    messages: tuple[Timed, ...]
    heard: tuple[Heard, ...]
    truth: frozenset[Pair]

    @property
    def grid(self) -> TempoGrid:
        """The click it was played to."""
        return TempoGrid(self.click_bpm, BEAT0_NS)

    @property
    def onsets(self) -> list[Onset]:
        """What began to sound, bounces included, in the order that the truth counts by."""
        return [heard for heard in self.heard if isinstance(heard, Onset)]


@dataclass(slots=True)
class Stroke:
    """A note about to be played."""

    at_ms: float
    note: Note
    asked: tuple[int, int] | None
    """Rep and step that it is; None for what nobody asked for."""
    right: bool = True
    """False for a wrong note."""
    until_ms: float | None = None
    """When the player stops blowing, if that is before the next note."""


class Player:
    """One simulated player at one drill: what is intended, rep by rep."""

    def __init__(self, segment: Segment, condition: Condition, rng: np.random.Generator) -> None:
        self._condition = condition
        self._rng = rng
        self._drill = segment.drill
        self._click_ms = 60_000.0 / segment.click_bpm
        self._rep_ms = segment.lasts_ns / NS_PER_MS
        self._offsets = [offset / NS_PER_MS for offset in segment.offsets_ns]
        self._notes = [self._drill.lead, *(step.note for step in self._drill.steps)]
        self._bias = condition.bias_ms * float(rng.choice([-1.0, 1.0]))
        self._error = 0.0
        self._late_reps = int(rng.integers(2, 7)) if self._happens(condition.late_entry) else 0
        # With the bias and twice the noise the phase stays below half a rep: farther off, the rep would be another one.
        rest = (condition.bias_ms + 2 * condition.beat_sd_ms) / self._rep_ms
        self._swing_ms = max(0.05, rng.uniform(0.15, 0.45) - rest) * self._rep_ms * float(rng.choice([-1.0, 1.0]))

    def play(self, reps: int) -> list[Stroke]:
        """Every stroke as intended, in order of time."""
        strokes: list[Stroke] = []
        for rep in range(reps + self._late_reps):
            mine = self._rep(rep)
            if not mine and strokes and self._happens(0.5) and strokes[-1].until_ms is None:
                strokes[-1].until_ms = rep * self._rep_ms
            strokes += mine
        for before, after in pairwise(strokes):
            after.at_ms = max(after.at_ms, before.at_ms + GAP_MS)
            if before.until_ms is not None:
                before.until_ms = max(before.until_ms, before.at_ms + 100.0)
                if before.until_ms > after.at_ms - 100.0:
                    before.until_ms = None
        return strokes

    def _happens(self, chance: float) -> bool:
        return bool(self._rng.random() < chance)

    def _rep(self, rep: int) -> list[Stroke]:
        condition = self._condition
        errors = self._next_error(), self._next_error()
        if rep < self._late_reps or self._happens(condition.skipped):
            return []
        if self._happens(condition.restart):
            strokes = self._restarted(rep)
        elif self._happens(condition.doubled):
            strokes = self._doubled(rep)
        else:
            strokes = self._attempt(rep, self._offsets)
        self._mistakes(strokes)
        for index, stroke in enumerate(strokes):
            error = errors[1] if index else errors[0]
            at_ms = self._drifted(rep * self._rep_ms + stroke.at_ms)
            stroke.at_ms = at_ms + self._bias + error + self._rng.normal(0, condition.step_sd_ms)
        return strokes

    def _next_error(self) -> float:
        self._error = 0.5 * self._error + float(self._rng.normal(0, self._condition.beat_sd_ms))
        return self._error

    def _drifted(self, at_ms: float) -> float:
        """When the player's own clock comes to a time on the grid; it starts with the click."""
        since = at_ms - self._late_reps * self._rep_ms
        if self._condition.drift == "wander":
            steepest = 0.1 / abs(self._swing_ms)
            return at_ms + self._swing_ms * float(np.sin(steepest * since))
        if self._condition.drift == "fast":
            return at_ms - self._rep_ms * float(np.interp(since / self._rep_ms % 24, [0, 20, 24], [0, 0.4, 0]))
        return at_ms

    def _attempt(self, rep: int, offsets: list[float], first: int = 0) -> list[Stroke]:
        """One pass from the lead (or a later place) to the theme note, all of it asked."""
        places = range(first, len(self._notes))
        return [Stroke(at, self._notes[place], (rep, place - 1)) for place, at in zip(places, offsets, strict=True)]

    def _restarted(self, rep: int) -> list[Stroke]:
        """The ornament broken off after one step or more, and begun again from the lead or from its first step."""
        offsets, size = self._offsets, len(self._notes)
        broken = int(self._rng.integers(2, size)) if size > 2 else 2  # how many notes sound before it breaks off
        from_lead = self._happens(0.5)
        shape = [offset - offsets[1] for offset in offsets[1:]]
        pause = self._rng.uniform(0.1, 0.4) * self._click_ms
        lead = self._rng.uniform(0.15, 0.5) * self._click_ms if from_lead else 0.0
        begin = offsets[min(broken, size - 1)] if broken < size else offsets[-1]
        room = self._rep_ms - 0.1 * self._click_ms - begin - shape[-1]
        fits = min(1.0, room / (pause + lead))
        if fits < 0.3:
            return self._attempt(rep, offsets)
        pause, lead = pause * fits, lead * fits
        strokes = [Stroke(offsets[place], self._notes[place], None) for place in range(broken)]
        start = begin + pause
        if from_lead:
            return strokes + self._attempt(rep, [start, *(start + lead + at for at in shape)])
        strokes[0].asked = (rep, -1)
        return strokes + self._attempt(rep, [start + at for at in shape], first=1)

    def _doubled(self, rep: int) -> list[Stroke]:
        """The ornament played twice, with or without a short theme note between; one of the passes is in time."""
        offsets = self._offsets
        shape = [offset - offsets[1] for offset in offsets[1:]]
        steps = len(shape) - 1
        between = steps == 1 or self._happens(0.5)
        length = shape[-1] + (self._rng.uniform(40.0, 90.0) if between else 0.0)
        if length + shape[-1] > 0.8 * self._click_ms:
            return self._attempt(rep, offsets)
        in_time = not self._happens(0.5)
        first = offsets[1] - (0.0 if in_time else length)
        extra = [Stroke(first + shape[step], self._notes[1 + step], None) for step in range(steps + between)]
        again = self._attempt(rep, [first + length + at for at in shape], first=1)
        if in_time and self._repeats_close(between=between):
            for step, stroke in enumerate([*extra, *again]):
                stroke.asked = (rep, step) if step <= steps else None
        return [Stroke(offsets[0], self._notes[0], (rep, -1)), *extra, *again]

    def _repeats_close(self, *, between: bool) -> bool:
        """Whether the ornament played twice is the ornament with one movement added, by once or twice."""
        *steps, theme = self._notes[1:]
        twice = [*steps, *([theme] if between else []), *steps, theme]
        rest = [note for before, note in pairwise([*steps, *twice[len(steps) :]]) if note is not before][
            len(steps) - 1 :
        ]
        movements = set(rest[1::2])
        return len(movements) == 1 and set(rest[::2]) == {theme} and len(rest) in (3, 5)

    def _mistakes(self, strokes: list[Stroke]) -> None:
        """Leave out or mistake one step of the asked attempt."""
        theme, steps = len(self._notes) - 2, list[int]()
        for index, stroke in enumerate(strokes):
            # What could not sound anyway can neither be mistaken nor missed.
            if stroke.asked is not None and 0 <= stroke.asked[1] < theme and self._drill.steps[stroke.asked[1]].sounds:
                steps.append(index)
        if not steps:
            return
        if self._happens(self._condition.wrong):
            index = int(self._rng.choice(steps))
            around = {strokes[at].note for at in (index - 1, index, index + 1)}
            strokes[index].note = Note(self._rng.choice([note for note in Note if note not in around]))
            strokes[index].right = False
        if self._happens(self._condition.missing):
            del strokes[int(self._rng.choice(steps))]


def as_sounded(strokes: list[Stroke], condition: Condition, rng: np.random.Generator) -> list[Stroke]:
    """What sounds of it: equal notes melted, crossing noises and bounces added."""
    sounded: list[Stroke] = []
    for stroke in strokes:
        before = sounded[-1] if sounded else None
        if before is not None and before.note is stroke.note and before.until_ms is None:
            if before.asked is None and stroke.right:
                before.asked = stroke.asked
            before.until_ms = stroke.until_ms
            continue
        sounded.append(stroke)
    return _with_bounces(_with_noises(sounded, condition, rng), condition, rng)


def _with_noises(strokes: list[Stroke], condition: Condition, rng: np.random.Generator) -> list[Stroke]:
    """Between the first finger's move and the last one's another note sounds, for 4 to 40 ms if there is room."""
    noisy = strokes[:1]
    for position, (before, stroke) in enumerate(pairwise(strokes)):
        after_ms = strokes[position + 2].at_ms if position + 2 < len(strokes) else stroke.at_ms + 100.0
        between = sorted(crossing_notes(before.note, stroke.note)) if before.until_ms is None else []
        if fingers_moved(before.note, stroke.note) > 1 and between and rng.random() < condition.crossing:
            length, early = rng.uniform(4.0, 40.0), rng.random()
            begins = max(stroke.at_ms - early * length, before.at_ms + GAP_MS)
            ends = min(begins + length, after_ms - GAP_MS)
            if ends - begins >= GAP_MS:
                noisy.append(Stroke(begins, Note(rng.choice(between)), None))
                stroke.at_ms = ends
        noisy.append(stroke)
    return noisy


def _with_bounces(strokes: list[Stroke], condition: Condition, rng: np.random.Generator) -> list[Stroke]:
    bounced: list[Stroke] = []
    for stroke, after in zip(strokes, [*strokes[1:], None], strict=True):
        bounced.append(stroke)
        at_ms = stroke.at_ms + rng.uniform(3.0, 7.0)
        ends = (at_ms + 100.0 if after is None else after.at_ms) if stroke.until_ms is None else stroke.until_ms
        if rng.random() < condition.bounce and at_ms + 2 * RELEASE_MS < ends:
            bounced.append(Stroke(at_ms, stroke.note, None, until_ms=stroke.until_ms))
            stroke.until_ms = at_ms - RELEASE_MS / 2
    return bounced


def as_messages(strokes: list[Stroke], condition: Condition, rng: np.random.Generator) -> tuple[Timed, ...]:
    """A note-on and a note-off for each stroke, the off before the next on or, overlapping, after it."""
    timed: list[Timed] = []
    last = strokes[-1].at_ms + 500.0
    for position, stroke in enumerate(strokes):
        timed.append((mido.Message("note_on", note=stroke.note.midi, velocity=64), _ns(stroke.at_ms)))
        off_ms = last
        if position + 1 < len(strokes):
            after = strokes[position + 1]
            off_ms = after.at_ms - RELEASE_MS
            next_ms = strokes[position + 2].at_ms if position + 2 < len(strokes) else last
            if after.note is not stroke.note and rng.random() < condition.overlap:
                off_ms = after.at_ms + min(rng.uniform(1.0, 15.0), 0.4 * (next_ms - after.at_ms))
        if stroke.until_ms is not None:
            off_ms = min(off_ms, stroke.until_ms)
        timed.append((mido.Message("note_off", note=stroke.note.midi, velocity=0), _ns(off_ms)))
    timed.sort(key=lambda one: one[1])
    return tuple(timed)


def _ns(ms: float) -> Ns:
    return Ns(BEAT0_NS + round(ms * NS_PER_MS))


@cache
def written_pitch() -> Profile:
    """The chanter that every performance is played on."""
    return load_profiles(None)[DEFAULT_PROFILE]


def perform(
    drill: Drill, click_bpm: Bpm, condition: Condition, rng: np.random.Generator, reps: int | None = None
) -> Performance:
    """One performance, through the real ear."""
    reps = reps or (REPS if condition.drift == "steady" else DRIFTING_REPS)
    strokes = Player(make_segment(drill, click_bpm), condition, rng).play(reps)
    sounded = as_sounded(strokes, condition, rng)
    messages = as_messages(sounded, condition, rng)
    ear = Ear(written_pitch())
    heard = tuple(one for message, at_ns in messages for one in ear.hear(message, at_ns))
    onsets = [(one.note, one.at_ns) for one in heard if isinstance(one, Onset)]
    if onsets != [(stroke.note, _ns(stroke.at_ms)) for stroke in sounded]:
        raise AssertionError(f"the ear heard other onsets than were simulated: {drill.words}, {condition.name}")
    truth = frozenset((*one.asked, index) for index, one in enumerate(sounded) if one.asked is not None)
    return Performance(condition.name, drill, click_bpm, max(rep for rep, _, _ in truth) + 1, messages, heard, truth)


def performances(condition: Condition, events: int, seed: int) -> Iterator[Performance]:
    """Performances until that many onsets have been heard: ornament after ornament, drill and click drawn at random."""
    rng = np.random.default_rng([seed, *condition.name.encode()])
    by_ornament: dict[str, list[Drill]] = {}
    for drill in all_drills():
        by_ornament.setdefault(drill.ornament.name, []).append(drill)
    ornaments = list(by_ornament.values())
    heard = 0
    for turn in count():
        if heard >= events:
            return
        drills = ornaments[turn % len(ornaments)]
        drill = drills[int(rng.integers(len(drills)))]
        one = perform(drill, Bpm(round(float(rng.uniform(SLOWEST, FASTEST)), 1)), condition, rng)
        heard += len(one.onsets)
        yield one
