"""Simulated recordings with known truth: drills, tunes and free playing, with rests between."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from chanterd.listening.passages import Passage
from chanterd.music.drill import all_drills
from chanterd.music.heard import Heard, Onset, Silence, Stray
from chanterd.music.units import NS_PER_S, Ns
from tests.bench.conditions import Condition
from tests.bench.free_playing import (
    FASTEST,
    SLOWEST,
    Playing,
    any_melody,
    play_drill,
    play_melody,
    shipped_tunes,
    tune_melody,
)

REST_S = 4.0
REPS = 10
NOTES = 40


@dataclass(frozen=True, slots=True)
class Recording:
    """What was heard, and the passages that were played; ``margins_ns`` is how exact each one's ends are to be."""

    heard: tuple[Heard, ...]
    passages: tuple[Passage, ...]
    margins_ns: tuple[float, ...]


def recording(condition: Condition, seed: int) -> Recording:
    """Two drills, two parts of tunes and one melody of no tune, in any order."""
    rng = np.random.default_rng([seed, *condition.name.encode()])
    calm = replace(condition, late_entry=0.0)
    parts = list(_parts(calm, rng))
    heard: list[Heard] = []
    passages: list[Passage] = []
    margins: list[float] = []
    at = Ns(NS_PER_S)
    for index in rng.permutation(len(parts)):
        playing, passage, margin = parts[int(index)]
        first = next(one.at_ns for one in playing.heard if isinstance(one, Onset))
        moved = [_moved(one, at - first) for one in playing.heard]
        end = moved[-1].at_ns
        heard += [*moved, Silence(end)]
        passages.append(replace(passage, start_ns=at, end_ns=end))
        margins.append(margin)
        at = Ns(end + round(REST_S * NS_PER_S))
    return Recording(tuple(heard), tuple(passages), tuple(margins))


def _moved(one: Heard, by_ns: int) -> Heard:
    return (
        Stray(one.midi, Ns(one.at_ns + by_ns)) if isinstance(one, Stray) else replace(one, at_ns=Ns(one.at_ns + by_ns))
    )


def _parts(condition: Condition, rng: np.random.Generator) -> Iterator[tuple[Playing, Passage, float]]:
    drills = [drill for drill in all_drills() if len(drill.sounding) > 1]
    nothing = Ns(0)
    for _ in range(2):
        drill, bpm = drills[int(rng.integers(len(drills)))], float(rng.uniform(SLOWEST, FASTEST))
        passage = Passage(nothing, nothing, "drill", drill.words, bpm)
        yield play_drill(drill, bpm, condition, rng, REPS), passage, 2 * 60 / bpm * NS_PER_S
    for _ in range(2):
        tune, bpm = shipped_tunes()[int(rng.integers(3))], float(rng.uniform(45.0, 110.0))
        melody = tune_melody(tune, 60_000 / bpm)
        first = int(rng.integers(max(1, len(melody) - NOTES)))
        part = [replace(one, at_ms=one.at_ms - melody[first].at_ms) for one in melody[first : first + NOTES]]
        part[0] = replace(part[0], drill=None)
        bar = float(tune.meter.bar * 4) * 60 / bpm if tune.meter is not None else 1.0
        passage = Passage(nothing, nothing, "tune", tune=tune.title, first=first)
        yield play_melody(part, tune.title, bpm, condition, rng), passage, 2 * bar * NS_PER_S
    bpm = float(rng.uniform(45.0, 110.0))
    free = play_melody(any_melody(NOTES, 60_000 / bpm, rng), "a melody made up", bpm, condition, rng)
    yield free, Passage(nothing, nothing, "free"), 2.0 * NS_PER_S
