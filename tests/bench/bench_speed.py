"""What following and judging cost: microseconds an onset, growth with the length of a run, memory, and a whole take.

Beside it in the same run, on the same simulated events: mido parsing the messages from bytes, rapidfuzz and parangonar
aligning them, mido reading the take from a file.

Single calls are timed by ``perf_counter_ns``, longer pieces of work by ``thread_time_ns``, which leaves out what other
programs take in between. The garbage collector stays on; what there is before each repeat is frozen, as the daemon
does at its start, so that nobody pays for another's garbage. Of each call and each piece of work the best of the
repeats counts, since other work on the machine only ever adds (as timeit's documentation advises); the median and p99
are then taken over the calls. The events are messages through the real ear, but the ear's own time is not in it.

Run: ``python -m tests.bench.bench_speed [--condition NAME] [--minutes N] [--repeats N] [--seed S]``
"""

import argparse
import gc
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from statistics import median

import mido
import numpy as np
from rich.console import Console
from rich.table import Table

from chanterd.assessing.assess import assess, assessment_json
from chanterd.hearing.take import read_take, write_take
from chanterd.music.drill import drill_from_words
from chanterd.music.heard import Onset
from chanterd.music.units import Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import Run, make_run
from tests.bench.conditions import CONDITIONS, Condition
from tests.bench.our_readings import standard
from tests.bench.peers import PEERS, make_task
from tests.bench.performances import Performance, perform, written_pitch

DRILL, CLICK_BPM = "taorluath from B to low A", Bpm(120.0)
"""One of the longer ornaments of light music, at a middling click: 60 reps a minute."""
REPS_A_MINUTE = 60
TICK_NS = 20_000_000
"""How often the daemon's clock moves on."""
PEER_REPS = 60
CALLS_MINUTES, PERFORMANCES = 10.0, 6
"""Some 240 calls beyond p99, which by one performance alone is anywhere from 38 to 62 us."""


def play(minutes: float, condition: Condition, seed: int) -> Performance:
    """Minutes of it, simulated."""
    rng = np.random.default_rng(seed)
    return perform(drill_from_words(DRILL), CLICK_BPM, condition, rng, round(minutes * REPS_A_MINUTE))


def start(one: Performance) -> Run:
    """A run that has heard nothing yet."""
    return make_run(Exercise(one.drill, one.click_bpm, standard()), one.grid.beat0_ns)


def each_call(one: Performance, repeats: int) -> tuple[list[float], list[float]]:
    """Microseconds of each ``Run.hear`` that brings an onset, and of each ``Run.tick`` that judges a rep.

    The silences before an onset are added to it; time is let pass between them as the daemon does.
    """
    runs = [_each_call(one) for _ in range(repeats)]
    hears, ticks = zip(*runs, strict=True)
    return [min(took) for took in zip(*hears, strict=True)], [min(took) for took in zip(*ticks, strict=True)]


def _each_call(one: Performance) -> tuple[list[float], list[float]]:
    run, spent = start(one), 0
    hears: list[float] = []
    ticks: list[float] = []
    now_ns = one.grid.beat0_ns
    settle()
    for heard in one.heard:
        while now_ns < heard.at_ns:
            begun = time.perf_counter_ns()
            events = run.tick(now_ns)
            took = time.perf_counter_ns() - begun
            if events:
                ticks.append(took / 1000)
            now_ns = Ns(now_ns + TICK_NS)
        begun = time.perf_counter_ns()
        run.hear(heard)
        spent += time.perf_counter_ns() - begun
        if isinstance(heard, Onset):
            hears.append(spent / 1000)
            spent = 0
    return hears, ticks


def settle() -> None:
    """Leave nothing to the garbage collector but what is made from now on."""
    gc.collect()
    gc.freeze()


def timed(work: Callable[[], object], repeats: int) -> float:
    """Microseconds that a piece of work needs."""
    took = []
    for _ in range(repeats):
        settle()
        begun = time.thread_time_ns()
        work()
        took.append((time.thread_time_ns() - begun) / 1000)
    return min(took)


def parse(data: bytes) -> int:
    """How many messages mido makes of the same bytes."""
    parser = mido.Parser()
    parser.feed(data)
    return sum(1 for _ in parser)


def peak_mb(work: Callable[[], object]) -> float:
    """The most memory that a piece of work held at once, in MB."""
    gc.collect()
    tracemalloc.start()
    work()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def hear_all(one: Performance) -> Run:
    """A whole run; its events are dropped at once, as a daemon with no viewer does."""
    run = start(one)
    for heard in one.heard:
        run.hear(heard)
        run.verdicts()
    run.finish()
    return run


def beside_the_others(condition: Condition, repeats: int, seed: int) -> Table:
    """Microseconds an onset of ours and of the peers."""
    one = play(PEER_REPS / REPS_A_MINUTE, condition, seed)
    onsets = len(one.onsets)
    data = b"".join(message.bin() for message, _ in one.messages)
    task = make_task(one)
    table = Table(title=f"{onsets} onsets of {DRILL} at {CLICK_BPM:g}, {condition.name}; {repeats} repeats")
    for heading in ("what", "us an onset", "ours is"):
        table.add_column(heading, justify="left" if heading == "what" else "right")
    mean = timed(lambda: hear_all(one), repeats) / onsets
    table.add_row("following and judging, all in all", f"{mean:.1f}", "", style="bold")
    others = {"mido parsing the bytes": timed(lambda: parse(data), repeats) / onsets}
    for name, align in PEERS.items():
        few = repeats if name == "rapidfuzz" else 1
        others[f"{name}, the whole take at once"] = timed(lambda align=align: align(task), few) / onsets  # type: ignore[misc]
    for name, took in others.items():
        table.add_row(name, f"{took:.1f}", f"{mean / took:.3g} x")
    return table


def single_calls(condition: Condition, minutes: float, repeats: int, seed: int) -> Table:
    """Microseconds of single calls, as the daemon makes them: what is heard is followed, ticks judge what is over."""
    hears: list[float] = []
    ticks: list[float] = []
    for number in range(PERFORMANCES):
        heard, ticked = each_call(play(minutes, condition, seed + number), repeats)
        hears += heard
        ticks += ticked
    table = Table(title=f"Single calls in {PERFORMANCES} x {minutes:g} minutes of it, ticks between as live; us")
    for heading in ("what", "calls", "median", "p99", "worst"):
        table.add_column(heading, justify="left" if heading == "what" else "right")
    for name, took in (("an onset followed and measured", hears), ("a tick that judges a rep", ticks)):
        figures = (median(took), float(np.percentile(took, 99)), max(took))
        table.add_row(name, str(len(took)), *(f"{figure:.1f}" for figure in figures))
    return table


def growth(condition: Condition, lengths: list[float], repeats: int, seed: int) -> Table:
    """Microseconds an onset and peak memory by the length of the run."""
    table = Table(title="Does it grow with the run? (with memory: its events are dropped at once)")
    for heading in ("minutes", "onsets", "us an onset", "last tenth, median call", "peak MB"):
        table.add_column(heading, justify="right")
    for minutes in lengths:
        one = play(minutes, condition, seed)
        onsets = len(one.onsets)
        mean = timed(lambda one=one: hear_all(one), repeats) / onsets  # type: ignore[misc]
        late = median(each_call(one, repeats)[0][-onsets // 10 :])
        peak = peak_mb(lambda one=one: hear_all(one))  # type: ignore[misc]
        table.add_row(f"{minutes:g}", str(onsets), f"{mean:.1f}", f"{late:.1f}", f"{peak:.2f}")
    return table


def whole_take(condition: Condition, minutes: float, repeats: int, seed: int) -> Table:
    """``assess`` of a take beside mido reading the same file: to messages with their times, and only taking it apart.

    The times are what makes a file a take: mido works them out when its messages are asked for.
    """
    one = play(minutes, condition, seed)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "take.mid"
        # The take's time 0 is beat 0, so that the grid fits.
        write_take(
            path, [(m, Ns(at - one.grid.beat0_ns)) for m, at in one.messages if at >= one.grid.beat0_ns], CLICK_BPM
        )
        by, drill, profile = standard(), drill_from_words(DRILL), written_pitch()
        take = read_take(path)
        figures = {
            "mido reads it, messages with times": timed(lambda: list(mido.MidiFile(path)), repeats),
            "mido takes the file apart only": timed(lambda: mido.MidiFile(path), repeats),
            "our read_take, with that in it": timed(lambda: read_take(path), repeats),
            "ear, following, judging, summary": timed(
                lambda: assess(take, profile, Exercise(drill, CLICK_BPM, by)), repeats
            ),
        }
        figures["assess in all"] = timed(
            lambda: assess(read_take(path), profile, Exercise(drill, CLICK_BPM, by)), repeats
        )
        found = assess(take, profile, Exercise(drill, CLICK_BPM, by))
        figures["printing it as JSON, besides"] = timed(lambda: assessment_json(found), repeats)
        peak = peak_mb(lambda: assess(take, profile, Exercise(drill, CLICK_BPM, by)))
    table = Table(
        title=f"A take of {minutes:g} minutes, {len(take.messages)} messages; assess holds {peak:.1f} MB at most"
    )
    for heading in ("what", "s", "times mido"):
        table.add_column(heading, justify="left" if heading == "what" else "right")
    mido_us = next(iter(figures.values()))
    for name, took in figures.items():
        table.add_row(name, f"{took / 1e6:.3f}", f"{took / mido_us:.2f}")
    return table


def main() -> None:
    """Measure and print the tables."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--condition", choices=[one.name for one in CONDITIONS], default="all mixed", metavar="NAME")
    arguments.add_argument("--minutes", type=float, default=60.0, help="length of the long run (%(default)g)")
    arguments.add_argument("--repeats", type=int, default=5)
    arguments.add_argument("--seed", type=int, default=1)
    asked = arguments.parse_args()
    condition = next(one for one in CONDITIONS if one.name == asked.condition)
    console = Console()
    console.print(beside_the_others(condition, asked.repeats, asked.seed))
    console.print(single_calls(condition, CALLS_MINUTES, asked.repeats, asked.seed))
    console.print(growth(condition, [1.0, asked.minutes / 4, asked.minutes], asked.repeats, asked.seed))
    console.print(whole_take(condition, asked.minutes, asked.repeats, asked.seed))


if __name__ == "__main__":
    main()
