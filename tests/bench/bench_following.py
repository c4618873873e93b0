"""How well following pairs onsets with asked steps, by condition, beside general-purpose aligners on the same events.

Prints precision, recall and F1 of (rep, asked step, onset) pairs against the truth of simulated performances. Ours are
the final readings of a whole run; the peers see the whole take at once (``peers`` says how). parangonar is slow, so it
gets the first performances of each condition only; its own share of them is held against the truth.

Run: ``python -m tests.bench.bench_following [--events N] [--seed S] [--only CONDITION] [--show REPS] [--why]
[--no-peers]``
"""

import argparse
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rich.console import Console
from rich.progress import track
from rich.table import Table

from tests.bench.conditions import CONDITIONS, Condition
from tests.bench.our_readings import our_pairs, show, standard
from tests.bench.peers import PEERS, make_task
from tests.bench.performances import Pair, Performance, performances
from tests.bench.truth_prices import REASONS, reasons

OURS = "chanterd"
SLOW_EVENTS = 500
"""Onsets a condition that parangonar gets: it takes several ms for each."""


@dataclass(slots=True)
class Score:
    """Pairs counted so far."""

    right: int = 0
    given: int = 0
    true: int = 0

    def add(self, pairs: set[Pair], truth: frozenset[Pair]) -> None:
        """Count one performance."""
        self.right += len(pairs & truth)
        self.given += len(pairs)
        self.true += len(truth)

    @property
    def cells(self) -> tuple[str, str, str]:
        """Precision, recall and F1 to four places, rounded down so that 1.0000 means no error at all."""
        figures = (self.right / max(1, self.given), self.right / max(1, self.true), self.f1)
        return tuple(f"{int(figure * 10_000) / 10_000:.4f}" for figure in figures)  # type: ignore[return-value]

    @property
    def f1(self) -> float:
        """Their harmonic mean."""
        return 2 * self.right / max(1, self.given + self.true)


def measure(condition: Condition, played: Sequence[Performance], *, peers: bool) -> dict[str, Score]:
    """The score of each aligner."""
    by = standard()
    scores = {name: Score() for name in (OURS, *(PEERS if peers else ()))}
    heard = 0
    for one in track(played, condition.name, transient=True, disable=not Console().is_terminal):
        scores[OURS].add(our_pairs(one, by), one.truth)
        if not peers:
            continue
        task = make_task(one)
        for name, align in PEERS.items():
            if name == "rapidfuzz" or heard < SLOW_EVENTS:
                scores[name].add(align(task), one.truth)
        heard += len(one.onsets)
    return scores


def print_wrong(played: Sequence[Performance], reps: int) -> None:
    """The first reps that we read otherwise than they were."""
    by, left = standard(), reps
    for one in played:
        pairs = our_pairs(one, by)
        if left > 0 and pairs != one.truth:
            lines = list(show(one, pairs, left))
            left -= sum(line.startswith("  rep") for line in lines)
            print("\n".join(lines))


def print_why(condition: Condition, played: Sequence[Performance]) -> None:
    """In how many reps we err, and in how many pairs, by what decided them."""
    reps, pairs = Counter[str](), Counter[str]()
    for one in played:
        for reason, wrong in reasons(one):
            reps[reason] += 1
            pairs[reason] += wrong
    print(
        f"{condition.name}: {reps.total()} reps read otherwise than they were, {pairs.total()} pairs missing or wrong"
    )
    for reason in REASONS:
        if reps[reason]:
            print(f"  {reps[reason]:5} reps {pairs[reason]:5} pairs  {reason}")


def main() -> None:
    """Measure every condition and print one table."""
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--events", type=int, default=6_000, help="onsets a condition (%(default)s)")
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--only", choices=[condition.name for condition in CONDITIONS], metavar="CONDITION")
    arguments.add_argument("--show", type=int, default=0, metavar="REPS", help="print reps that we read wrongly")
    arguments.add_argument("--why", action="store_true", help="count what decided the reps that we read wrongly")
    arguments.add_argument("--no-peers", action="store_true", help="ours only, which is quick")
    asked = arguments.parse_args()
    table = Table(title=f"Pairs of simulated performances, {asked.events} onsets a condition, seed {asked.seed}")
    for heading in ("condition", "aligner", "precision", "recall", "F1", "pairs"):
        table.add_column(heading, justify="left" if heading in ("condition", "aligner") else "right")
    for condition in CONDITIONS:
        if asked.only not in (None, condition.name):
            continue
        played = list(performances(condition, asked.events, asked.seed))
        for name, score in measure(condition, played, peers=not asked.no_peers).items():
            best = "bold" if name == OURS else ""
            table.add_row(condition.name if best else "", name, *score.cells, str(score.true), style=best)
        print_wrong(played, asked.show)
        if asked.why:
            print_why(condition, played)
    Console().print(table)


if __name__ == "__main__":
    main()
