"""How soon a verdict comes, and how often the close of the rep corrects it, on simulated performances.

For each condition: the share of reps with a provisional verdict; of these, how many the close calls clean where they
were not or the other way round, and how many get another sentence. For each tempo: from the onset of the theme note to
the verdict, with a tick every 20 ms as in the daemon, beside the same to the close of the rep. What the page adds is
measured by ``bench_live``.

Run: ``python -m tests.bench.bench_verdict [--events N] [--seed S]``
"""

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from statistics import median, quantiles

from rich.console import Console
from rich.table import Table

from chanterd.judging.report import RepResult
from chanterd.music.drill import drill_from_words
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Onset
from chanterd.music.segment import make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, RepPreview, Run, make_run
from tests.bench.conditions import CONDITIONS, Condition
from tests.bench.our_readings import standard
from tests.bench.performances import performances

TICK_NS = 20 * NS_PER_MS
TEMPI = (60.0, 90.0, 120.0, 200.0)
AFTER_NS = 3_000 * NS_PER_MS


@dataclass(slots=True)
class Verdicts:
    """What was said of the reps of one run, and when, by rep."""

    first: dict[int, tuple[int, RepResult]] = field(default_factory=dict)
    final: dict[int, tuple[int, RepResult]] = field(default_factory=dict)


def listened(run: Run, heard: Sequence[Heard], begin_ns: int) -> Verdicts:
    """Play to a run in simulated time."""
    said, now_ns = Verdicts(), begin_ns
    for one in [*heard, None]:
        until_ns = now_ns + AFTER_NS if one is None else one.at_ns
        while now_ns + TICK_NS <= until_ns:
            now_ns += TICK_NS
            for event in run.tick(Ns(now_ns)):
                if isinstance(event, RepPreview):
                    said.first[event.result["rep"]] = (now_ns, event.result)
                elif isinstance(event, RepEvent):
                    said.final[event.result["rep"]] = (now_ns, event.result)
        if one is not None:
            run.hear(one)
    return said


def shares(condition: Condition, events: int, seed: int) -> Iterator[str]:
    """The cells of a condition's row."""
    reps = early = turned = reworded = 0
    for one in performances(condition, events, seed):
        run = make_run(Exercise(one.drill, one.click_bpm, standard()), one.grid.beat0_ns)
        said = listened(run, one.heard, one.grid.beat0_ns - AFTER_NS)
        for rep, (_, final) in said.final.items():
            if final["skipped"]:
                continue
            reps += 1
            if rep in said.first:
                first = said.first[rep][1]
                early += 1
                turned += first["clean"] != final["clean"]
                reworded += first["faults"][:1] != final["faults"][:1]
    yield f"{reps}"
    for count, of in ((early, reps), (turned, early), (reworded, early)):
        yield f"{100 * count / max(1, of):.2f} %"


def delays_ms(words: str, bpm: float, reps: int = 60) -> tuple[list[float], list[float]]:
    """From each theme note to the first and to the final verdict, in ms, for a player who keeps to the click."""
    drill, grid = drill_from_words(words), TempoGrid(Bpm(bpm), Ns(0))
    segment = make_segment(drill, Bpm(bpm))
    notes = (drill.lead, *(step.note for step in drill.steps))
    heard: list[Heard] = []
    themes: list[int] = []
    for rep in range(reps):
        start_ns = grid.at(rep * segment.lasts_ns / grid.click_ns) + (rep * 7 % 20) * NS_PER_MS
        for note, offset in zip(notes, segment.offsets_ns, strict=True):
            if not heard or not isinstance(heard[-1], Onset) or heard[-1].note is not note:
                heard.append(Onset(note, Ns(start_ns + offset)))
        themes.append(start_ns + segment.offsets_ns[-1])
    said = listened(make_run(Exercise(drill, Bpm(bpm), standard()), Ns(0)), heard, -AFTER_NS)
    first = [(said.first[rep][0] - themes[rep]) / NS_PER_MS for rep in said.first]
    final = [(said.final[rep][0] - themes[rep]) / NS_PER_MS for rep in range(reps - 1) if rep in said.final]
    return first, final


def spread(values: Sequence[float]) -> tuple[str, str]:
    """Median and 99th percentile."""
    return f"{median(values):.0f} ms", f"{quantiles(values, n=100)[98]:.0f} ms"


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, default=6000, help="onsets a condition")
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    console = Console()
    table = Table("condition (simulated)", "reps", "early verdict", "clean or not corrected", "sentence corrected")
    for condition in CONDITIONS:
        table.add_row(condition.name, *shares(condition, chosen.events, chosen.seed))
    console.print(table)
    table = Table("drill", "clicks", "verdict p50", "p99", "close p50", "p99")
    for words in ("grip from B to C", "taorluath from C to low A", "throw on D from low A"):
        for bpm in TEMPI:
            first, final = delays_ms(words, bpm)
            table.add_row(words, f"{bpm:g}", *spread(first), *spread(final))
    console.print(table)


if __name__ == "__main__":
    main()
