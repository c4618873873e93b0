"""The history: how fast it is written, and how fast it answers with ten years in it. Simulated practice of nobody's.

``python -m tests.bench.bench_history`` fills ten years of runs (``--reps``: with every rep, step and take, for its size
on the disk), then times each question over a year and over all of it, on SQLite by the time of its own thread, since
other work on the machine only ever adds, and, asked to, on PostgreSQL by the clock.
"""

import argparse
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from sqlalchemy import Connection

from chanterd.history.answers import ALWAYS, Span
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.queries import (
    days_practised,
    fastest_by_day,
    hand_by_day,
    overall,
    placement_by_day,
    runs_of,
    weakest,
)
from chanterd.history.store import Store, open_store
from chanterd.history.writer import Writer
from tests.bench.ten_years import fill
from tests.history.practised_runs import GRIP, begun, closed, judged, somebody
from tests.postgres import PostgresServer, programs

TIMES = 5
REPS = 200
A_YEAR = Span("2016-01-01", "2016-12-31")

Question = Callable[[Connection, int, Span], object]
QUESTIONS: dict[str, Question] = {
    "days practised": days_practised,
    "fastest clean by day": lambda connection, player, span: fastest_by_day(connection, player, 3, span),
    "placement by day": placement_by_day,
    "hand by day": hand_by_day,
    "weakest five": weakest,
    "overall": lambda connection, player, span: overall(connection, player, 3, span),
    "the last 500 runs": runs_of,
}


def ms_of(act: Callable[[], object], *, here: bool) -> list[float]:
    """How long it takes, some times over, ms: of this thread alone if the database works ``here``, as SQLite does."""
    clock = time.thread_time_ns if here else time.perf_counter_ns
    took = []
    for _ in range(TIMES):
        begin = clock()
        act()
        took.append((clock() - begin) / 1e6)
    return took


def ask(store: Store, person: Player) -> None:
    """Time each question."""
    print(f"{'question':<24}{'a year, ms':>16}{'all of it, ms':>16}")
    totals = [0.0, 0.0]
    for name, question in QUESTIONS.items():
        medians = []
        for span in (A_YEAR, ALWAYS):

            def once(question: Question = question, span: Span = span) -> None:
                with store.reading() as connection:
                    question(connection, person.number, span)

            medians.append(statistics.median(ms_of(once, here=store.is_sqlite)))
        totals = [total + median for total, median in zip(totals, medians, strict=True)]
        print(f"{name:<24}{medians[0]:>16.1f}{medians[1]:>16.1f}")
    print(f"{'all of them':<24}{totals[0]:>16.1f}{totals[1]:>16.1f}")


def write(store: Store) -> None:
    """Time a rep: in the event loop, and on the writer's thread up to the commit."""
    run, ledger, results = begun(somebody(store, "Writer")), Ledger(store), judged(GRIP, [4.0] * REPS)
    commits = []
    for result in results:
        begin = time.perf_counter_ns()
        ledger.write(closed(run, [result], bytes(70)))
        commits.append((time.perf_counter_ns() - begin) / 1e6)
    writer, puts = Writer(store, print), []
    other = begun(somebody(store, "Loop"))
    for result in results:
        entry = closed(other, [result], bytes(70))
        begin = time.perf_counter_ns()
        writer.put(entry)
        puts.append((time.perf_counter_ns() - begin) / 1e3)
    writer.close(60)
    print(f"a rep committed: median {statistics.median(commits):.2f} ms, p99 {sorted(commits)[-REPS // 100]:.2f} ms")
    print(f"handed over in the event loop: median {statistics.median(puts):.1f} us, most {max(puts):.1f} us")


def bench(store: Store, years: float, *, with_reps: bool) -> None:
    """Everything, on one database."""
    write(store)
    person = somebody(store, "Decade")
    begin = time.perf_counter()
    number = sum(fill(store, person, years, with_reps=with_reps))
    print(f"{number} simulated runs in {years:g} years, filled in {time.perf_counter() - begin:.0f} s")
    ask(store, person)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--reps", action="store_true", help="write every rep, step and take as well")
    parser.add_argument("--years", type=float, default=10.0)
    parser.add_argument("--postgresql", action="store_true", help="on PostgreSQL as well")
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        store = open_store(None, Path(folder))
        print("SQLite")
        bench(store, chosen.years, with_reps=chosen.reps)
        size = sum(path.stat().st_size for path in Path(folder).iterdir())
        print(f"on the disk: {size / 1e6:.0f} MB")
        store.close()
    if chosen.postgresql and programs():
        with PostgresServer() as server, tempfile.TemporaryDirectory() as folder:
            store = open_store(server.new_database(), Path(folder))
            print("PostgreSQL (without waiting for the disk)")
            bench(store, chosen.years, with_reps=False)
            store.close()


if __name__ == "__main__":
    main()
