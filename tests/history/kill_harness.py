"""Killing what writes a history, many times, and looking at what it left."""

import os
import random
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from sqlalchemy import func, select

from chanterd.hearing.take import parse_take
from chanterd.history.figures import Figures
from chanterd.history.queries import reps_of
from chanterd.history.schema import reps, runs, steps, takes
from chanterd.history.store import Store
from chanterd.history.takes import take_of


@dataclass(slots=True)
class Told:
    """What a victim said before it died."""

    runs: dict[str, int]
    """For each run how many reps of it were said to be written."""


class Victims:
    """Starts victims and kills them."""

    def __init__(self, stdin: IO[str], stdout: IO[str]) -> None:
        self._stdin = stdin
        self._stdout = stdout

    def kill_one(self, url: str, after_s: float) -> Told:
        """Let one practise that long after its first rep, then kill it as ``kill -9`` does."""
        self._stdin.write(f"{url}\n")
        self._stdin.flush()
        reported, pid, last = Told({}), 0, ""
        killer: threading.Timer | None = None
        for line in self._stdout:
            word, _, rest = line.strip().partition(" ")
            if word == "dead":
                return reported
            if word == "pid":
                pid = int(rest)
            elif word == "run":
                reported.runs[rest], last = 0, rest
            elif word == "rep":
                reported.runs[last] = int(rest) + 1
                if killer is None:  # at no time that what it says could favour
                    killer = threading.Timer(after_s, os.kill, (pid, signal.SIGKILL))
                    killer.start()
            else:
                raise AssertionError(line)
        raise AssertionError("the victims' parent has ended")


@contextmanager
def victims() -> Iterator[Victims]:
    """A warm parent of victims."""
    root = Path(__file__).parent.parent.parent
    command = [sys.executable, "-m", "tests.history.endless_writer"]
    with subprocess.Popen(
        command, cwd=root, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env={**os.environ}
    ) as process:
        assert process.stdin
        assert process.stdout
        assert process.stdout.readline() == "ready\n"
        yield Victims(process.stdin, process.stdout)
        process.stdin.close()


def look(store: Store, reported: Told) -> None:
    """What a killed program left is whole: every rep it reported, and at most the one after that."""
    with store.reading() as connection:
        if store.is_sqlite:
            assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
            assert connection.exec_driver_sql("PRAGMA foreign_key_check").all() == []
        for key, written in reported.runs.items():
            row = connection.execute(select(runs).where(runs.c.key == key)).mappings().first()
            if row is None:
                assert written == 0
                continue
            numbers = list(
                connection.scalars(select(reps.c.rep).where(reps.c.run_id == row["id"]).order_by(reps.c.rep))
            )
            assert numbers == list(range(len(numbers)))
            assert written <= len(numbers) <= written + 1
            per_rep = connection.scalars(
                select(func.count()).select_from(steps).where(steps.c.run_id == row["id"]).group_by(steps.c.rep)
            ).all()
            assert per_rep == [5] * len(numbers)
            figures = Figures()
            figures.add(reps_of(connection, row["id"]))
            assert {name: row[name] for name in figures.as_row()} == figures.as_row()
            parts = connection.scalar(select(func.count()).select_from(takes).where(takes.c.run_id == row["id"]))
            assert parts == len(numbers)
            heard = parse_take(Path("left.mid"), take_of(connection, row["id"])).messages
            assert sum(message.type == "note_on" for message, _ in heard) == 5 * len(numbers)


def moments(number: int, longest_s: float, seed: int) -> list[float]:
    """When to kill, after the first rep: at random, the same each time."""
    dice = random.Random(seed)  # noqa: S311 - no secret
    return [dice.uniform(0, longest_s) for _ in range(number)]
