"""Ten years of daily practice, simulated and nobody's: runs as a player on a ladder might leave them, in a history.

Each day some twenty runs of a dozen reps at most on a few ways; the player gets faster, steadier and cleaner over the
years. Runs and reps are written by the same rows as a real run's; a day in seven is a day of rest.
"""

import random
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from sqlalchemy import insert

from chanterd.history.figures import Figures, fault_rows, rep_row, step_rows
from chanterd.history.players import Player
from chanterd.history.record import run_row
from chanterd.history.schema import faults, reps, runs, steps, takes
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.music.drill import all_drills
from tests.history.practised_runs import begun, judged

RUNS_A_DAY = 20
DAYS_AT_ONCE = 100
REPS_A_RUN = 12
WAYS = 40
SHAPES_MS = (0.0, 8.0, -12.0, 30.0, 55.0, 90.0)
"""How late the simulated reps are that the others are made from."""
FIRST_DAY = date(2016, 1, 1)
NS_PER_DAY = 86_400 * 1_000_000_000
FIRST_NUMBER = 1000
"""Above those of the runs that are there already."""
TAKE_BYTES = 14 * 5
"""Of a rep's part of a take."""


def drills() -> list[str]:
    """What is practised: the first ways of the book that are worth a drill."""
    every = [drill.words for drill in all_drills()]
    return every[:: max(1, len(every) // WAYS)][:WAYS]


def results_of(words: str) -> list[RepResult]:
    """One judged rep for each of the shapes."""
    return judged(words, SHAPES_MS)


def fill(store: Store, person: Player, years: float, *, with_reps: bool, seed: int = 1) -> Iterator[int]:
    """Write them, some days at a time; yields how many runs that were. ``with_reps``: their reps and steps too."""
    dice = random.Random(seed)  # noqa: S311 - no secret
    shapes = {words: results_of(words) for words in drills()}
    number = FIRST_NUMBER
    days = [day for day in range(round(years * 365.25)) if day % 7 != 6]
    for first in range(0, len(days), DAYS_AT_ONCE):
        before = number
        rows: dict[Any, list[dict[str, Any]]] = {runs: [], reps: [], steps: [], faults: [], takes: []}
        for day in days[first : first + DAYS_AT_ONCE]:
            for words in dice.choices(list(shapes), k=RUNS_A_DAY):
                number += 1
                _run(rows, number, person, words, shapes[words], day, dice, with_reps=with_reps)
        with store.writing() as connection:
            for table, some in rows.items():
                if some:
                    connection.execute(insert(table), some)
        yield number - before


def _run(
    rows: dict[Any, list[dict[str, Any]]],
    number: int,
    person: Player,
    words: str,
    shapes: list[RepResult],
    day: int,
    dice: random.Random,
    *,
    with_reps: bool,
) -> None:
    skill = day / 3652
    noon = int((FIRST_DAY + timedelta(days=day) - date(1970, 1, 1)).days * NS_PER_DAY + NS_PER_DAY // 2)
    bpm = float(round(60 + 60 * skill * dice.random() + 10 * dice.random()))
    weights = [4 + 8 * skill, 3, 3, 2, 1.5 - skill, 1.2 - skill]
    results: list[RepResult] = [
        {**dice.choices(shapes, weights)[0], "rep": rep} for rep in range(dice.randint(4, REPS_A_RUN))
    ]
    figures = Figures()
    figures.add(results)
    row = run_row(begun(person, words, bpm, WallTime(noon + number % 1000 * 60_000_000_000, 0)))
    until_ns = row["began_ns"] + len(results) * 120_000_000_000 / bpm
    rows[runs].append({**row, "id": number, "until_ns": int(until_ns), "why": "stopped", **figures.as_row()})
    if not with_reps:
        return
    for result in results:
        rows[reps].append(rep_row(number, result))
        rows[steps] += step_rows(number, result)
        rows[faults] += fault_rows(number, result)
        rows[takes].append({"run_id": number, "part": result["rep"], "whole": False, "midi": bytes(TAKE_BYTES)})
