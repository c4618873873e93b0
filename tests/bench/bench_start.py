"""What it costs to start: whole processes, from their start to their end or to the first answered page.

Each is run in turn with its peer, in pairs, after one run that is not counted; the ratio is the median over the pairs.
The peer of a start is the import of the libraries that a daemon needs anyway, that of an hour of playing is mido, which
reads the same file to messages with their times. The takes are simulated.

Run: ``python -m tests.bench.bench_start [--pairs N] [--minutes N]``; with ``--minutes`` also the memory that a daemon
holds after that many minutes of the demo.
"""

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from urllib.request import Request, urlopen

import numpy as np
import psutil
from rich.console import Console
from rich.table import Table

from chanterd.hearing.take import write_take
from chanterd.music.drill import drill_from_words
from chanterd.music.units import Bpm, Ns
from tests.bench.conditions import CONDITIONS
from tests.bench.performances import perform

DRILL, CLICK_BPM = "grip from B to C", Bpm(60.0)
CHANTERD = [sys.executable, "-m", "chanterd"]
IMPORTS = [sys.executable, "-c", "import fastapi, uvicorn, mido, numpy"]
AS_USERS_DO = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
"""The environment of each process: from its second start on, Python keeps what it has compiled."""
IMPORTED_MB = "import fastapi, uvicorn, mido, numpy, psutil; print(psutil.Process().memory_info().rss)"


def seconds(command: list[str]) -> float:
    """How long a process takes, from its start to its end."""
    began = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=AS_USERS_DO)
    return time.perf_counter() - began


class Daemon:
    """A daemon with the simulated player, on a free port, in a data folder that it has used before."""

    def __init__(self, folder: Path) -> None:
        """Start it and wait until it names its page."""
        command = [*CHANTERD, "serve", "--no-open", "--port", "0", "--data", str(folder)]
        self.process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=AS_USERS_DO
        )
        assert self.process.stdout is not None
        found = re.search(r"http://\S+", self.process.stdout.readline())
        assert found is not None
        self.page = found[0].rstrip("/")

    def get(self, path: str) -> bytes:
        """What it answers."""
        with urlopen(f"{self.page}{path}") as answer:  # noqa: S310 - our own daemon
            return bytes(answer.read())

    def practise(self) -> None:
        """Start a run."""
        body = json.dumps({"drill": DRILL, "click_bpm": CLICK_BPM}).encode()
        headers = {"Content-Type": "application/json"}
        urlopen(Request(f"{self.page}/api/practice", body, headers)).close()  # noqa: S310 - our own daemon

    def stop(self) -> None:
        """End it."""
        self.process.terminate()
        self.process.wait()


def seconds_to_page(folder: Path) -> float:
    """From the start of ``serve`` until the page and the state are answered."""
    began = time.perf_counter()
    daemon = Daemon(folder)
    daemon.get("/")
    daemon.get("/api/state")
    took = time.perf_counter() - began
    daemon.stop()
    return took


def write_playing(path: Path, reps: int) -> Path:
    """A simulated take of that many reps, with every kind of fault in it."""
    condition = next(one for one in CONDITIONS if one.name == "all mixed")
    one = perform(drill_from_words(DRILL), CLICK_BPM, condition, np.random.default_rng(1), reps)
    beat0_ns = one.grid.beat0_ns
    write_take(path, [(said, Ns(at - beat0_ns)) for said, at in one.messages if at >= beat0_ns], CLICK_BPM)
    return path


def in_pairs(ours: Callable[[], float], peer: Callable[[], float], pairs: int) -> tuple[float, float, float]:
    """Median seconds of both, and the median ratio."""
    ours(), peer()
    took = [(ours(), peer()) for _ in range(pairs)]
    return (
        median(one for one, _ in took),
        median(other for _, other in took),
        median(one / other for one, other in took),
    )


def starts(pairs: int) -> Table:
    """Every start beside its peer."""
    table = Table(title=f"Whole processes, medians over {pairs} pairs")
    for heading in ("what", "s", "peer, s", "ratio", "at most"):
        table.add_column(heading, justify="left" if heading == "what" else "right")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        short, hour = write_playing(folder / "short.mid", 16), write_playing(folder / "hour.mid", 1800)

        def assess(path: Path, *options: str) -> Callable[[], float]:
            return lambda: seconds([*CHANTERD, "assess", str(path), "--drill", DRILL, *options])

        imports = lambda: seconds(IMPORTS)  # noqa: E731 - beside the others
        reads = lambda: seconds([sys.executable, "-c", f"import mido; list(mido.MidiFile({str(hour)!r}))"])  # noqa: E731
        for what, ours, peer, most in (
            ("chanterd --help", lambda: seconds([*CHANTERD, "--help"]), imports, 0.7),
            ("assess, 16 reps", assess(short), imports, 1.2),
            ("serve, to an answered page", lambda: seconds_to_page(folder / "data"), imports, 2.0),
            ("assess --json, an hour", assess(hour, "--json"), reads, 3.0),
            ("assess, an hour, as a table", assess(hour), reads, 3.0),
        ):
            took, others, ratio = in_pairs(ours, peer, pairs)
            table.add_row(what, f"{took:.2f}", f"{others:.2f}", f"{ratio:.2f}", f"{most:g}")
    return table


def memory(minutes: float) -> str:
    """What a daemon holds after that many minutes of the demo, beside the imports alone."""
    alone = int(subprocess.run([sys.executable, "-c", IMPORTED_MB], check=True, capture_output=True).stdout)
    with tempfile.TemporaryDirectory() as folder:
        Daemon(Path(folder)).stop()  # the first start of all also makes the tables
        daemon = Daemon(Path(folder))
        daemon.get("/api/state")
        daemon.practise()
        time.sleep(minutes * 60)
        held = psutil.Process(daemon.process.pid).memory_info().rss
        daemon.stop()
    return f"After {minutes:g} minutes of the demo: {held / 2**20:.0f} MiB; the imports alone {alone / 2**20:.0f} MiB."


def main() -> None:
    """Measure and print."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--pairs", type=int, default=7)
    arguments.add_argument("--minutes", type=float, default=0.0)
    chosen = arguments.parse_args()
    console = Console()
    console.print(starts(chosen.pairs))
    if chosen.minutes:
        console.print(memory(chosen.minutes))


if __name__ == "__main__":
    main()
