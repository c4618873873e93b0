"""A program that practises into a history without end, to be killed: it forks once for each victim, already warm.

It reads a URL a line; for each it prints ``pid NUMBER``, and the victim prints ``run KEY`` and then, for each rep that
it has reported is written, ``rep NUMBER``.
"""

import os
import sys
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from chanterd.hearing.track import TrackWriter
from chanterd.history.players import find_or_create
from chanterd.history.record import RepsClosed, RunEnded
from chanterd.history.store import open_store
from chanterd.history.writer import Writer
from chanterd.judging.report import RepResult
from tests.history.practised_runs import GRIP, begun, judged, noon, played

REPS_A_RUN = 30
SCENE = judged(GRIP, [4.0, 90.0, -3.0, 6.0])
MESSAGES = played(GRIP, [4.0])


def say(line: str) -> None:
    """Report to the test."""
    os.write(1, f"{line}\n".encode())


def results() -> Iterator[RepResult]:
    """Reps without end, numbered."""
    for number in count():
        yield {**SCENE[number % len(SCENE)], "rep": number}


def practise(url: str) -> None:
    """Practise until killed."""
    store = open_store(url, Path(tempfile.gettempdir()))
    person = find_or_create(store, "Ailsa", noon())
    writer = Writer(store, lambda said: say(f"told {said}"))
    while True:
        run, track = begun(person), TrackWriter(60.0)
        say(f"run {run.key}")
        for result in results():
            if result["rep"] == REPS_A_RUN:
                break
            for message, at_ns in MESSAGES:
                track.add(message, result["rep"] * 2_000_000_000 + at_ns)
            writer.put(RepsClosed(run, [result], run.wall, track.part()))
            if not writer.settle():
                say("stuck")
            say(f"rep {result['rep']}")
        writer.put(RunEnded(run, "stopped", b""))


def main() -> None:
    """Serve victims until there is nothing more to read."""
    say("ready")
    for line in sys.stdin:
        pid = os.fork()
        if pid == 0:
            practise(line.strip())
        say(f"pid {pid}")
        os.waitpid(pid, 0)
        say("dead")


if __name__ == "__main__":
    main()
