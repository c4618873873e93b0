"""What a daemon that runs for weeks keeps: memory after each day of practice, played by the simulated player.

Time is turned by hand, so that a day takes seconds: each simulated day holds some runs of different drills, with every
message through the seat as if it had come from a chanter, a page that watches, and what is written into a data folder.
Beside it in the same run: what Python itself held before anything was played.

Run: ``python -m tests.bench.bench_weeks [--days N] [--runs N] [--minutes N]``
"""

import argparse
import gc
import random
import tempfile
import time
import tracemalloc
from pathlib import Path

import psutil
from rich.console import Console
from rich.table import Table

from chanterd.hearing.habits import GOOD
from chanterd.hearing.simulated import perform
from chanterd.music.units import NS_PER_MINUTE, Ns
from chanterd.serving.daemon import Daemon
from chanterd.serving.wire.hub import Viewer
from tests.serving.played_seat import HandSource, Sitting

DRILLS = (
    "grip from B to C",
    "taorluath from C to low A",
    "birl from E",
    "throw on D from low A",
    "doubling from D to E",
)
BYTES_PER_MB = 1_000_000


class Reading(Viewer):
    """A page that reads all it is sent at once and keeps nothing."""

    def __init__(self, daemon: Daemon) -> None:
        super().__init__(daemon.state)
        self.characters = 0

    def put(self, text: str, *, passing: bool, seat: str | None = None) -> None:  # noqa: ARG002 - it has no queue that could be full
        """Count it."""
        self.characters += len(text)


class Watched(Sitting):
    """A sitting whose frames are read and forgotten."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        for viewer in list(self.daemon.hub._viewers):
            self.daemon.hub.leave(viewer)
        self.daemon.hub.join(Reading(self.daemon))


def practise(sitting: Watched, drill: str, minutes: float, seed: int) -> int:
    """One run; returns how many messages were played."""
    sitting.practise(drill, 100)
    cue = sitting.cue()
    messages, _ = perform(cue, round(minutes * NS_PER_MINUTE / cue.rep_ns), seed, GOOD)
    source: HandSource = sitting.source
    for message, at_ns in messages:
        sitting.now_ns = cue.beat0_ns + at_ns
        source.send(message, sitting.now_ns)
        sitting.settle()
        sitting.daemon.tick()
    sitting.now_ns += NS_PER_MINUTE
    sitting.daemon.tick()
    sitting.seat.end()
    return len(messages)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description="What a daemon keeps over weeks.")
    parser.add_argument("--days", type=int, default=14)
    parser.add_argument("--runs", type=int, default=10)
    parser.add_argument("--minutes", type=float, default=3)
    asked = parser.parse_args()
    rng, process = random.Random(1), psutil.Process()  # noqa: S311 - play, not secrets
    table = Table("after day", "messages", "resident MB", "Python objects MB", "data folder MB", "CPU s")
    with tempfile.TemporaryDirectory() as folder, Watched(Path(folder)) as sitting:
        tracemalloc.start()
        begin, played = time.process_time(), 0
        for day in range(asked.days + 1):
            if day:
                for _ in range(asked.runs):
                    played += practise(sitting, rng.choice(DRILLS), asked.minutes, rng.getrandbits(32))
            gc.collect()
            kept = sum(path.stat().st_size for path in Path(folder).rglob("*") if path.is_file())
            figures = (process.memory_info().rss, tracemalloc.get_traced_memory()[0], kept)
            spent = time.process_time() - begin
            table.add_row(
                str(day), f"{played}", *(f"{bytes_ / BYTES_PER_MB:.1f}" for bytes_ in figures), f"{spent:.1f}"
            )
            sitting.now_ns = Ns(sitting.now_ns + 24 * 60 * NS_PER_MINUTE)
            sitting.daemon.tick()
    Console().print(table)


if __name__ == "__main__":
    main()
