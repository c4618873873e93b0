"""Simulated runs of one hand: clean human playing, habits, and two sizes of steps. Nobody's real playing.

A timekeeper of 10 ms or 1.1 % of the click, which takes half of each error into the next beat; fingers of 4 ms; a bias
of up to 10 ms; a hand of its own size, tight or open; and crossing noises of up to 12 ms at one wide change in ten.
Where a tempo has no room for an ornament in that hand, nobody plays it cleanly, and it is left out. The figures are our
choice; experts' spread of 10 ms at 500 ms is real (Repp 2005, from memory).
"""

from dataclasses import dataclass
from itertools import pairwise
from random import Random

from chanterd.judging.report import RepResult
from chanterd.judging.standard import Standard
from chanterd.judging.summary import summarise
from chanterd.music.drill import Drill, drill_from_words
from chanterd.music.fingering import crossing_notes, fingers_moved
from chanterd.music.heard import Onset, Silence
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.segment import make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, make_run

BEAT0_MS = 3_000.0
BEAT_MS, BEAT_SHARE, FINGER_MS, BIAS_MS, CROSSING = 10.0, 0.011, 4.0, 10.0, 0.1
REPS = 18


@dataclass(frozen=True, slots=True)
class Way:
    """What is not clean about a run."""

    habit_ms: float = 0.0
    """How much later (+) every ornament is than its lead."""
    other_size: float = 1.0
    """The other size of held steps, in times of the usual one."""
    share: float | None = None
    """The chance of a rep in the other size; None: by turns."""


def played(words: str, bpm: float, random: Random, way: Way | None = None) -> list[tuple[float, Note]]:
    """What sounds in a run, ms from beat 0; equal notes in a row are one."""
    way, drill = way or Way(), drill_from_words(words)
    table = make_segment(drill, Bpm(bpm))
    click_ms, rep_ms, beat_ms = 60_000 / bpm, table.lasts_ns / NS_PER_MS, table.beat_ns / NS_PER_MS
    held, quick = random.uniform(50.0, 75.0), random.uniform(36.0, 50.0)
    bias, error = random.uniform(-BIAS_MS, BIAS_MS), 0.0
    line: list[tuple[float, Note]] = []
    for rep in range(REPS):
        other = rep % 2 == 1 if way.share is None else random.random() < way.share
        size = way.other_size if other else 1.0
        lengths = _lengths(drill, held * size, quick)
        start = rep * rep_ms + bias
        errors = []
        for _ in range(2):
            error = 0.5 * error + random.gauss(0, max(BEAT_MS, BEAT_SHARE * click_ms))
            errors.append(error)
        line.append((start + errors[0], drill.lead))
        at = start + beat_ms + errors[1] + way.habit_ms - sum(lengths[: drill.anchor_step])
        for step, length in zip(drill.steps, [*lengths, 0.0], strict=True):
            line.append((at + random.gauss(0, FINGER_MS), step.note))
            at += length
    sounding: list[tuple[float, Note]] = []
    for at, note in _crossed(line, random):
        if not sounding or sounding[-1][1] is not note:
            sounding.append((at, note))
    return sounding


def play_run(words: str, bpm: float, standard: Standard, random: Random, way: Way | None = None) -> list[RepResult]:
    """The results of a run."""
    run = make_run(Exercise(drill_from_words(words), Bpm(bpm), standard), Ns(round(BEAT0_MS * NS_PER_MS)))
    at_ms = 0.0
    for at_ms, note in played(words, bpm, random, way):
        run.hear(Onset(note, Ns(round((BEAT0_MS + at_ms) * NS_PER_MS)), bounce=False))
    run.hear(Silence(Ns(round((BEAT0_MS + at_ms + 60_000 / bpm) * NS_PER_MS))))
    return [event.result for event in run.finish() if isinstance(event, RepEvent)]


def _lengths(drill: Drill, held_ms: float, quick_ms: float) -> list[float]:
    return [quick_ms if step.kind is Kind.QUICK else held_ms for step in drill.steps[:-1]]


def has_room(words: str, bpm: float) -> bool:
    """Whether the widest of these hands leaves a quarter of a click to the melody notes on either side."""
    drill = drill_from_words(words)
    lengths, click_ms = _lengths(drill, 75.0, 50.0), 60_000 / bpm
    return max(sum(lengths[: drill.anchor_step]), sum(lengths[drill.anchor_step :])) < 0.75 * click_ms


def _crossed(line: list[tuple[float, Note]], random: Random) -> list[tuple[float, Note]]:
    found = line[:1]
    for (_, before), (at, note) in pairwise(line):
        between = sorted(crossing_notes(before, note))
        if between and fingers_moved(before, note) > 1 and random.random() < CROSSING:
            found.append((at - random.uniform(4.0, 12.0), random.choice(between)))
        found.append((at, note))
    return sorted(found)


def says_not_the_same(words: str, bpm: float, reps: list[RepResult]) -> bool:
    """Whether it is said of a run that its held notes change, and its player is not called ready."""
    remarks = summarise(reps, drill_from_words(words), bpm)["remarks"]
    changes = any(said.startswith("Your held notes change") for said in remarks["unsteady"])
    return changes and remarks["next"] is not None and "ready" not in remarks["next"]["said"]
