"""The simulated player of tunes: plays a score as MIDI messages, with human timing and mistakes. Pure and seeded.

Timing is that of ``simulated``: a timekeeper whose error is partly taken back with each note, and fingers with a delay
of their own. What is new are the mistakes that only a tune allows: a bar begun once more, a repeat left out, a stop of
some seconds, a tempo that goes its own way, and pointing that is stronger or weaker than written.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import floor, pi, sin
from random import Random

import mido

from chanterd.hearing.cued import Timed
from chanterd.hearing.simulated import GAP_MS, RELEASE_MS
from chanterd.music.fingering import crossing_notes, fingers_moved
from chanterd.music.note import Note
from chanterd.music.score import Score
from chanterd.music.timeline import Piece, TempoMap
from chanterd.music.tunes.passage import Passage
from chanterd.music.tunes.route import routed
from chanterd.music.units import NS_PER_MS, Ns

WANDERS_CLICKS = 48.0
"""From one fastest place of a wandering tempo to the next."""
KEPT = 0.7
"""The share of the timekeeper's error that is still there at the next note."""


@dataclass(frozen=True, slots=True)
class TuneHabits:
    """A way of playing tunes; the default is a machine without any habit. Chances from 0 to 1, deviations in ms."""

    beat_sd_ms: float = 0.0
    step_sd_ms: float = 0.0
    wrong: float = 0.0
    """Chance that a melody note is another note."""
    missing: float = 0.0
    """Chance that a gracenote is left out."""
    left_out: float = 0.0
    """Chance that a whole ornament is left out."""
    crushed: float = 0.0
    """Chance that the last gracenote of an ornament is too short to be heard."""
    bar_again: float = 0.0
    """Chance that a bar is broken off and begun once more."""
    repeat_left_out: float = 0.0
    """Chance that a repeat is not played."""
    stop: float = 0.0
    """Chance that the player stops for some seconds before a bar."""
    wander: float = 0.0
    """By what share of itself the tempo goes up and down, slowly."""
    pointing: float = 1.0
    """How far off-beat notes are from the middle of their beat, as a multiple of what is written."""
    crossing: float = 0.0
    """Chance of a crossing noise at each change that moves two fingers or more."""
    overlap: float = 0.0
    """Chance that a note is released only after the next one has begun."""


HUMAN = TuneHabits(beat_sd_ms=8.0, step_sd_ms=4.0, crossing=0.02, overlap=0.3)
"""A good player: invented, with the timing of the simulated player of drills."""
LEARNER = TuneHabits(
    *(12.0, 6.0),
    wrong=0.01,
    missing=0.04,
    left_out=0.02,
    crushed=0.15,
    bar_again=0.04,
    pointing=0.9,
    crossing=0.04,
    overlap=0.3,
)
"""Somebody who is still learning the tune: invented, to make the page worth looking at."""


@dataclass(slots=True)
class TunePlayed:
    """One onset as it was truly meant; times in ms from the beginning."""

    at_ms: float
    note: Note
    segment: int | None
    """The segment of the score; None: it is part of none."""
    step: int = 0
    """Which of its gracenotes it is; the melody note itself is behind the last."""
    time_through: int = 0
    """Which coming-by of that melody note it is, from 1."""
    crushed: bool = False
    until_ms: float | None = None
    """When the player stops blowing, if that is before the next note."""


@dataclass(frozen=True, slots=True)
class TunePerformance:
    """What was sent, and (for tests and benchmarks) what it was."""

    messages: tuple[Timed, ...]
    truth: tuple[TunePlayed, ...]
    """Every onset in order of time."""
    left_out: frozenset[tuple[int, int, int]]
    """What was left out on purpose: melody note, time through, step."""
    end_ns: Ns
    tempo: TempoMap
    """Its tempo, in clicks as they were played: what is begun once more counts on, and a stop takes none."""


class TunePlayer:
    """Plays a score once from its first note to its last; the same seed, habits and score give the same messages."""

    def __init__(self, passage: Passage, score: Score, click_ns: float, seed: int, habits: TuneHabits = HUMAN) -> None:
        """``score`` is the passage at the tempo that it is played at."""
        self._passage = passage
        self._score = score
        self._click_ms = click_ns / NS_PER_MS
        self._graces_ms = [[off / NS_PER_MS for off in one.from_beat_ns] for one in score.segments]
        """By segment and step, how much later than its melody note is written it is played."""
        self._random = Random(seed)  # noqa: S311 - play, not secrets
        self._habits = habits
        self._phase = self._random.uniform(0, 2 * pi)
        self._error_ms = 0.0
        self._clicks = 0.0
        """How many were played."""
        self._tempo: list[Piece] = []
        self._passes: dict[int, int] = {}
        self._left_out: set[tuple[int, int, int]] = set()

    def play(self, rounds: int = 1) -> TunePerformance:
        """That many times from the beginning to the end."""
        strokes: list[TunePlayed] = []
        now_ms = 0.0
        for _ in range(rounds):
            now_ms = self._round(strokes, now_ms)
        sounded = self._with_noises(_as_sounded(strokes))
        return TunePerformance(
            self._messages(sounded, now_ms),
            tuple(sounded),
            frozenset(self._left_out),
            Ns(round(now_ms * NS_PER_MS)),
            TempoMap(tuple(self._tempo)),
        )

    def _round(self, strokes: list[TunePlayed], now_ms: float) -> float:
        """Once through; when it ends."""
        habits, random, score, passage = self._habits, self._random, self._score, self._passage
        order = [note - passage.first for note in routed(passage, lambda: random.random() < habits.repeat_left_out)]
        at = bar = left = 0
        again = False
        while True:
            place = order[at]
            if place in score.bars and not again:
                if strokes and random.random() < habits.stop:
                    strokes[-1].until_ms = now_ms + self._graces_ms[place][0] - 30.0
                    now_ms += random.uniform(2000.0, 5000.0)
                bar, left = at, self._breaks_off(place)
            again = False
            self._note(strokes, place, now_ms)
            left -= 1
            if not left:
                now_ms = self._later(now_ms, random.uniform(0.4, 1.5))
                at, again = bar, True
                continue
            at += 1
            if at == len(order):
                return self._later(now_ms, self._rest(place))
            gap = self._gap(place, order[at])
            now_ms = self._later(now_ms, gap - self._shift(place) + self._shift(order[at]))

    def _gap(self, place: int, after: int) -> float:
        """Clicks from a melody note to one that follows it."""
        return next(edge.gap for edge in self._score.edges[place] if edge.to == after and not edge.loops)

    def _rest(self, place: int) -> float:
        """Clicks from the last melody note until it may begin again."""
        loops = [edge.gap for edge in self._score.edges[place] if edge.loops]
        return loops[0] if loops else self._passage.lasts(place)

    def _breaks_off(self, start: int) -> int:
        """After how many notes of the bar that begins there the player begins it once more; 0: not at all."""
        if self._random.random() >= self._habits.bar_again:
            return 0
        notes = next((other for other in self._score.bars if other > start), len(self._score.segments)) - start
        return self._random.randint(1, notes - 1) if notes > 1 else 0

    def _later(self, now_ms: float, clicks: float) -> float:
        """When that many clicks later is, in the tempo of now."""
        pace_ms = self._pace(now_ms)
        self._tempo.append(Piece(self._clicks, now_ms * NS_PER_MS, pace_ms * NS_PER_MS))
        self._clicks += clicks
        return now_ms + pace_ms * clicks

    def _pace(self, now_ms: float) -> float:
        """How long a click is now."""
        turn = 2 * pi * now_ms / (WANDERS_CLICKS * self._click_ms)
        return self._click_ms * (1 + self._habits.wander * sin(turn + self._phase))

    def _shift(self, place: int) -> float:
        """How much later than written a note is placed within its beat."""
        starts = self._score.starts
        at = starts[place] - starts[0] + self._score.segments[0].phase
        within = at - floor(at + 1e-9)
        return (self._habits.pointing - 1) * (within - 0.5) if within > 1e-6 else 0.0  # noqa: PLR2004 - on the beat

    def _note(self, strokes: list[TunePlayed], place: int, now_ms: float) -> None:
        """One melody note with its gracenotes."""
        habits, random = self._habits, self._random
        self._passes[place] = through = self._passes.get(place, 0) + 1
        self._error_ms = KEPT * self._error_ms + random.gauss(0, habits.beat_sd_ms)
        asked = self._score.segments[place].drill.steps
        size = len(asked) - 1
        mine = [
            TunePlayed(
                now_ms + self._error_ms + self._graces_ms[place][step] + random.gauss(0, habits.step_sd_ms),
                asked[step].note,
                place,
                step,
                through,
            )
            for step in range(size + 1)
        ]
        for before, after in pairwise(mine):
            after.at_ms = max(after.at_ms, before.at_ms + 12.0)
        if size and random.random() < habits.crushed:
            mine[-2].at_ms = mine[-1].at_ms - max(GAP_MS, random.gauss(9.0, 2.0))
            mine[-2].crushed = True
        if random.random() < habits.wrong:
            taken = {mine[-1].note, mine[-2].note if size else strokes[-1].note if strokes else None}
            near = sorted((note for note in Note if note not in taken), key=lambda note: abs(note - mine[-1].note))
            mine[-1].note = random.choice(near[:3])
        gone: set[int] = set()
        if size and random.random() < habits.left_out:
            gone = set(range(size))
        elif size and random.random() < 1 - (1 - habits.missing) ** size:
            gone = {random.randrange(size)}
        self._left_out |= {(place, through, step) for step in gone}
        strokes += [stroke for stroke in mine if stroke.step not in gone]

    def _with_noises(self, strokes: list[TunePlayed]) -> list[TunePlayed]:
        """A note passed through on the way, where the fingers do not move together and there is room."""
        noisy = strokes[:1]
        for before, stroke in pairwise(strokes):
            between = sorted(crossing_notes(before.note, stroke.note))
            at_ms = stroke.at_ms - self._random.uniform(6.0, 25.0)
            room = at_ms > before.at_ms + 2 * GAP_MS and before.until_ms is None and not before.crushed
            if (
                between
                and room
                and fingers_moved(before.note, stroke.note) > 1
                and self._random.random() < self._habits.crossing
            ):
                noisy.append(TunePlayed(at_ms, self._random.choice(between), None))
            noisy.append(stroke)
        return noisy

    def _messages(self, strokes: list[TunePlayed], end_ms: float) -> tuple[Timed, ...]:
        timed: list[Timed] = []
        for index, stroke in enumerate(strokes):
            timed.append((mido.Message("note_on", note=stroke.note.midi, velocity=64), _ns(stroke.at_ms)))
            off_ms = end_ms
            if index + 1 < len(strokes):
                after = strokes[index + 1]
                off_ms = after.at_ms - RELEASE_MS
                if after.note is not stroke.note and self._random.random() < self._habits.overlap:
                    room = strokes[index + 2].at_ms - after.at_ms if index + 2 < len(strokes) else GAP_MS
                    off_ms = after.at_ms + min(self._random.uniform(1.0, 15.0), 0.4 * room)
            if stroke.until_ms is not None:
                off_ms = min(off_ms, max(stroke.until_ms, stroke.at_ms + 20.0))
            timed.append((mido.Message("note_off", note=stroke.note.midi, velocity=0), _ns(off_ms)))
        timed.sort(key=lambda one: one[1])
        return tuple(timed)


def _as_sounded(strokes: list[TunePlayed]) -> list[TunePlayed]:
    """What sounds of it: in order, and no note twice running unless the player stopped between."""
    sounded: list[TunePlayed] = []
    for stroke in strokes:
        if sounded:
            before = sounded[-1]
            if before.note is stroke.note and before.until_ms is None:
                before.until_ms = stroke.until_ms
                continue
            stroke.at_ms = max(stroke.at_ms, before.at_ms + GAP_MS)
        sounded.append(stroke)
    return sounded


def _ns(ms: float) -> Ns:
    return Ns(max(0, round(ms * NS_PER_MS)))
