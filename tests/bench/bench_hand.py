"""Runs as a whole: clean human playing called clean, habits named in every rep, two sizes of steps, takes that are off.

All of it is simulated (see ``hand``).

    python -m tests.bench.bench_hand [RUNS] [STANDARD] [SEED]
"""

import sys
from collections import Counter
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import mido

from chanterd.assessing.request import read_request
from chanterd.hearing.chanter import DEFAULT_PROFILE
from chanterd.hearing.take import write_take
from chanterd.judging.standard import Standard, read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import ExerciseWords
from chanterd.tables import read_tables
from tests.bench.bench_faults import DRILLS
from tests.bench.hand import Way, has_room, play_run, played, says_not_the_same

TEMPI = (40.0, 60.0, 80.0, 120.0, 200.0)
SIZED = tuple(
    words for words in DRILLS if sum(one.kind is Kind.HELD and one.sounds for one in drill_from_words(words).steps) > 1
)


def figures(hit: int, missed: int, false: int) -> str:
    """Precision and recall."""
    return f"{hit / max(1, hit + false):6.3f} {hit / max(1, hit + missed):6.3f} {hit + missed:7d}"


def clean(standard: Standard, runs: int, random: Random) -> None:
    """Clean playing at each tempo."""
    for bpm in TEMPI:
        reps, faults = Counter[bool](), Counter[str]()
        drills = [words for words in DRILLS if has_room(words, bpm)]
        for number in range(runs):
            for rep in play_run(drills[number % len(drills)], bpm, standard, random):
                reps[rep["clean"]] += 1
                faults.update(fault["fault"] for fault in rep["faults"])
        named = ", ".join(f"{name} {count}" for name, count in faults.most_common(4))
        print(f"clean playing at {bpm:3.0f}: {reps[True] / reps.total():.4f} of {reps.total()} called clean ({named})")


def habits(standard: Standard, runs: int, random: Random) -> None:
    """A note before that is always too long, or always cut: in every rep but the first, which shows the hand."""
    for name, limit, sign in (("wound up", standard.wound_up, 1), ("cut short", standard.cut_short, -1)):
        hit = missed = false = 0
        for number in range(runs):
            words, bpm = DRILLS[number % len(DRILLS)], random.choice(TEMPI[:4])
            most = limit.of(60e9 / bpm) / 1e6
            way = Way(habit_ms=sign * (most * random.uniform(1.4, 1.8) + 4 * 10.0))
            for truth, reps in (
                (True, play_run(words, bpm, standard, random, way)),
                (False, play_run(words, bpm, standard, random)),
            ):
                for rep in reps[1:]:
                    found = name in [fault["fault"] for fault in rep["faults"]]
                    hit, missed, false = (
                        hit + (found and truth),
                        missed + (truth and not found),
                        false + (found and not truth),
                    )
        print(f"always {name:10} {figures(hit, missed, false)} reps")


def sizes(standard: Standard, runs: int, random: Random) -> None:
    """Two sizes of held steps, by turns or at random, beside runs of one size."""
    for name, shares in (("by turns", (None,)), ("at random", (0.35, 0.5, 0.65))):
        hit = missed = false = 0
        for number in range(runs):
            words, bpm = SIZED[number % len(SIZED)], random.choice(TEMPI[:3])
            way = Way(other_size=random.uniform(1.7, 2.1), share=random.choice(shares))
            two = says_not_the_same(words, bpm, play_run(words, bpm, standard, random, way))
            one = says_not_the_same(words, bpm, play_run(words, bpm, standard, random))
            hit, missed, false = hit + two, missed + (not two), false + one
        print(f"two sizes {name:9} {figures(hit, missed, false)} runs")


def takes(runs: int, random: Random) -> None:
    """Takes that are off the click as a whole, or transposed, beside such as are neither."""
    counts = Counter[tuple[str, str]]()
    with TemporaryDirectory() as folder:
        tables, path = read_tables(Path(folder)), Path(folder) / "take.mid"
        for number in range(runs):
            words, bpm = DRILLS[number % len(DRILLS)], random.choice(TEMPI[:4])
            off_ms = random.choice((-1, 1)) * random.uniform(0.4, 0.9) * 60_000 / bpm
            semitones = random.choice([one for one in range(-12, 13) if one])
            for kind, shift_ms, higher in (("off", off_ms, 0), ("transposed", 0.0, semitones), ("", 0.0, 0)):
                line = [(at + shift_ms, note) for at, note in played(words, bpm, random)]
                timed = [
                    (mido.Message("note_on", note=note.midi + higher, velocity=64), Ns(round(at * NS_PER_MS)))
                    for at, note in line
                    if at >= 0
                ]
                write_take(path, timed, bpm)
                said = " ".join(
                    read_request(path, ExerciseWords(words), DEFAULT_PROFILE, tables).assessed()["whole_take"]
                )
                for name, right in (("off", "as a whole"), ("transposed", f"it is {abs(semitones)} semitone")):
                    counts[
                        name,
                        ("hit" if right in said else "missed") if kind == name else "false" if right in said else "",
                    ] += 1
    for name in ("off", "transposed"):
        hit, missed, false = (counts[name, one] for one in ("hit", "missed", "false"))
        print(f"takes {name:10} {figures(hit, missed, false)} takes")


def main() -> None:
    """Print the figures."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    seed = sys.argv[3] if len(sys.argv) > 3 else "tuned"
    for standard in read_standards().values():
        if len(sys.argv) < 3 or standard.name == sys.argv[2]:
            print(f"\n{standard.name}: simulated, {runs} runs each, seed '{seed}'; precision, recall, how many")
            random = Random(seed)  # noqa: S311 - play, not secrets
            clean(standard, runs, random)
            habits(standard, runs, random)
            sizes(standard, runs, random)
            takes(runs, random)


if __name__ == "__main__":
    main()
