"""Precision and recall of each fault on simulated reps with known faults: alone, two at a time, and none at all.

All performances are simulated (see ``faulty``). Everything goes through the whole ``Run``. Figures by standard:
steady reps called clean; for each fault alone its precision and recall; for all pairs the same, by fault. Then what is
not counted, and why: ``sounding`` states the rules.

    python -m tests.bench.bench_faults [REPS] [STANDARD] [SEED]
"""

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations
from random import Random

from chanterd.judging.fault import ORDER
from chanterd.judging.report import FaultResult
from chanterd.judging.standard import Standard, read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, make_run
from tests.bench.audible_faults import Truth
from tests.bench.faulty_reps import EVERY, OF_THE_RUN, FaultyPlayer, Performance

BEAT0_NS = Ns(3_000 * NS_PER_MS)
DRILLS = (
    "grip from B to C",
    "grip from C to E",
    "taorluath from C to low A",
    "doubling from low A to C",
    "doubling from low A to D",
    "throw on D from low A",
    "heavy throw on D from B",
    "birl from E",
    "crunluath from C to E",
    "G gracenote from C to low A",
)
TEMPI = (50.0, 60.0, 76.0, 100.0, 140.0)
REPS_A_RUN = 18
MOST_TRIES = 2_000
"""This many runs without room, one after the other, and what is asked cannot be played by that standard."""
FAST = (160.0, 176.0, 200.0, 210.0, 220.0)
"""Where an ornament can be too slow for the tempo."""
BY_THEMSELVES = ("wrong ornament", "too slow", "too long")
"""These are put into a rep without another fault."""
ADDED = "added movement"
"""An extra note that has the name of a movement."""
NO_PAIR = (set(OF_THE_RUN),)
"""No beat is early and late."""


def judged(one: Performance, words: str, bpm: float, standard: Standard) -> dict[int, frozenset[str]]:
    """What our judge says of each rep."""
    run = make_run(Exercise(drill_from_words(words), Bpm(bpm), standard), BEAT0_NS)
    for heard in one.heard:
        run.hear(heard)
    return {
        found.result["rep"]: frozenset(map(named, found.result["faults"]))
        for found in run.finish()
        if isinstance(found, RepEvent)
    }


def named(fault: FaultResult) -> str:
    """The fault's name; an added movement has one of its own here."""
    is_added = fault["fault"] == "extra note" and ("tap" in fault["said"] or "gracenote" in fault["said"])
    return ADDED if is_added else fault["fault"]


def runs(
    faults: Sequence[str], reps: int, standard: Standard, seed: str, left_out: Counter[str]
) -> Iterator[tuple[Truth, frozenset[str]]]:
    """(truth, judged), at least ``reps`` of that choice of faults, over all drills and tempi that allow it."""
    random, done, tries = Random(seed), 0, 0  # noqa: S311 - play, not secrets
    while done < reps and tries < MOST_TRIES:
        tries += 1
        words, bpm = random.choice(DRILLS), random.choice(FAST if "too slow" in faults else TEMPI)
        player = FaultyPlayer(drill_from_words(words), Bpm(bpm), standard, random)
        if player.squeezed or not all(player.can(fault) for fault in faults):
            continue
        one = player.play(faults, REPS_A_RUN)
        if None in one.truth.values():
            left_out["the whole run: its faults had no room at that tempo"] += 1
            continue
        found = _pauses_back(judged(one, words, bpm, standard), one)
        for rep, truth in one.truth.items():
            if truth is not None:
                yield truth, found.get(rep, frozenset())
                done += not faults or rep % EVERY == 1
                tries = 0


def _pauses_back(found: dict[int, frozenset[str]], one: Performance) -> dict[int, frozenset[str]]:
    """A pause so long that its rep was judged before it ended is told by the next rep: count it where it was."""
    moved = dict(found)
    for rep, truth in one.truth.items():
        late = found.get(rep + 1, frozenset())
        if truth is not None and "paused" in truth.faults - found.get(rep, frozenset()) and "paused" in late:
            moved[rep] = found.get(rep, frozenset()) | {"paused"}
            moved[rep + 1] = late - {"paused"}
    return moved


def told(counts: Counter[tuple[str, str]], fault: str) -> str:
    """Precision and recall of one fault, as 0.000."""
    hit, missed, false = (counts[fault, kind] for kind in ("hit", "missed", "false"))
    precision = hit / (hit + false) if hit + false else 1.0
    recall = hit / (hit + missed) if hit + missed else 1.0
    return f"{precision:6.3f} {recall:6.3f} {hit + missed:7d}"


def count(counts: Counter[tuple[str, str]], left_out: Counter[str], truth: Truth, found: frozenset[str]) -> None:
    """Count one rep."""
    for fault in (truth.faults | found) - truth.untold.keys():
        kind = "hit" if fault in truth.faults & found else "missed" if fault in truth.faults else "false"
        counts[fault, kind] += 1
    left_out.update(f"{fault}, taken for not played: {why}" for fault, why in truth.undone.items())
    left_out.update(f"{fault}, not counted: {why}" for fault, why in truth.untold.items())


def bench(standard: Standard, reps: int, seed: str) -> None:
    """All figures by one standard."""
    print(f"\n{standard.name}: simulated, {reps} faulty reps a fault, {reps // 4} a pair, seed '{seed}'")
    left_out: Counter[str] = Counter()
    steady = [
        not found - truth.untold.keys() for truth, found in runs((), 4 * reps, standard, f"steady {seed}", left_out)
    ]
    print(f"steady reps called clean: {sum(steady) / len(steady):.4f} of {len(steady)}")
    alone: Counter[tuple[str, str]] = Counter()
    for fault in (*ORDER, ADDED):
        for truth, found in runs((fault,), reps, standard, f"{fault} {seed}", left_out):
            count(alone, left_out, truth, found)
    pairs: Counter[tuple[str, str]] = Counter()
    for two in combinations([fault for fault in ORDER if fault not in BY_THEMSELVES], 2):
        if set(two) not in NO_PAIR:
            for truth, found in runs(two, reps // 4, standard, f"{two} {seed}", left_out):
                count(pairs, left_out, truth, found)
    print(f"{'':16}alone: precision, recall, reps    two at a time: the same")
    for fault in (*ORDER, ADDED):
        print(f"{fault:16}{told(alone, fault)}              {told(pairs, fault)}")
    for why, times in sorted(left_out.items()):
        print(f"{times:7d} {why}")


def main() -> None:
    """Print the figures."""
    reps = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    seed = sys.argv[3] if len(sys.argv) > 3 else "tuned"
    for standard in read_standards().values():
        if len(sys.argv) < 3 or standard.name == sys.argv[2]:
            bench(standard, reps, seed)


if __name__ == "__main__":
    main()
