"""What the book costs: reading its tables, and listing every drill with its stages.

Beside it in the same run: tomllib parsing the same files, which every reader of them has to pay. Timed by
``thread_time_ns``, which leaves out what other programs take in between; the best of the repeats counts, since other
work on the machine only ever adds (as timeit's documentation advises).

Run: ``python -m tests.bench.bench_book [--repeats N]``
"""

import argparse
import time
import tomllib
from collections.abc import Callable

from rich.console import Console
from rich.table import Table

from chanterd.config import bundled
from chanterd.music.book import read_book
from chanterd.music.drill import all_drills, drill_from_words, list_drill

NS_PER_MS = 1_000_000


def best_ms(work: Callable[[], object], repeats: int) -> float:
    """The shortest time of some repeats, in ms."""
    times = []
    for _ in range(repeats):
        begin = time.thread_time_ns()
        work()
        times.append(time.thread_time_ns() - begin)
    return min(times) / NS_PER_MS


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description="What the book costs.")
    parser.add_argument("--repeats", type=int, default=7)
    repeats = parser.parse_args().repeats
    texts = [path.read_text(encoding="utf-8") for path in sorted((bundled("configs") / "ornaments").glob("*.toml"))]
    book = read_book()
    drills = list(all_drills(book))
    parsing = best_ms(lambda: [tomllib.loads(text) for text in texts], repeats)
    rows = {
        f"tomllib parses the {len(texts)} tables": parsing,
        f"the book is read: {len(book.ornaments)} ornaments": best_ms(read_book, repeats),
        f"all {len(drills)} drills are made": best_ms(lambda: list(all_drills(book)), repeats),
        "and listed for programs": best_ms(lambda: [list_drill(drill) for drill in drills], repeats),
        "one drill is read from words": best_ms(lambda: drill_from_words("grip from B to C, stage 1", book), repeats),
    }
    table = Table("what", "ms", "times the parsing")
    for what, spent in rows.items():
        table.add_row(what, f"{spent:.2f}", f"{spent / parsing:.2f}")
    Console().print(table)


if __name__ == "__main__":
    main()
