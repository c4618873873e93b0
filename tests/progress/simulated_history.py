"""Simulated practice: days, weeks or years of runs with figures that were drawn by lot, written into a history.

Nobody played it. A simulated piper practises on most days, four to six runs each, climbs slowly in tempo, comes
nearer to the beat and gets steadier; the numbers are ours. Seeded, so it is always the same.
"""

import random
from datetime import date, timedelta
from typing import Any

from sqlalchemy import insert

from chanterd.history.players import Player
from chanterd.history.record import run_row
from chanterd.history.schema import runs
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import NS_PER_MS
from tests.history.practised_runs import begun

DRILLS = (
    "grip from B to C",
    "doubling from low A to C",
    "taorluath from C to low A",
    "throw on D from low A",
    "birl from E",
    "G gracenote from C to low A",
    "doubling from D to E",
)
HELD_MS = {"Grips and taorluath": 58.0, "Doublings": 50.0, "Throws on D": 66.0, "Birls": 40.0}
TEMPI = (56, 60, 64, 68, 72, 76, 80, 84)
LAST = date(2026, 3, 31)
NOON_S = 12 * 3600
SHARE_OF_DAYS = 0.72
EPOCH = date(1970, 1, 1)


def practise_days(
    store: Store, person: Player, days: int, last: date = LAST, seed: int = 1, share: float = SHARE_OF_DAYS
) -> int:
    """Write days of simulated practice up to the last one, with practice on that share; how many runs it is."""
    dice = random.Random(seed)  # noqa: S311 - a simulated player, not a secret
    rows = []
    for back in range(days - 1, -1, -1):
        if back in (0, days - 1) or dice.random() < share:
            rows += _day(dice, person, last - timedelta(days=back), 1 - back / max(days - 1, 1))
    with store.writing() as connection:
        for first in range(0, len(rows), 500):
            connection.execute(insert(runs), rows[first : first + 500])
    return len(rows)


def _day(dice: random.Random, person: Player, day: date, learnt: float) -> list[dict[str, Any]]:
    at_s = (day - EPOCH).days * 86_400 + NOON_S
    rows = []
    for words in dice.sample(DRILLS, dice.randint(4, 6)):
        rows.append(_run(dice, person, words, at_s, learnt))
        at_s += 600
    return rows


def _run(dice: random.Random, person: Player, words: str, at_s: int, learnt: float) -> dict[str, Any]:
    hard = 0.35 * DRILLS.index(words) / len(DRILLS)
    skill = min(max(learnt * 0.8 + 0.25 - hard + dice.gauss(0, 0.06), 0.02), 0.98)
    notch = round(skill * (len(TEMPI) - 1)) + dice.choice((-1, 0, 0, 1))
    bpm = float(TEMPI[min(max(notch, 0), len(TEMPI) - 1)])
    played = dice.randint(30, 70)
    clean = sum(dice.random() < 0.35 + 0.6 * skill for _ in range(played))
    started = begun(person, words, bpm, WallTime(at_s * 1_000_000_000, 0))
    held = HELD_MS.get(started.exercise.drill.ornament.chapter)
    open_ms = None if held is None else held + (54.0 - held) * learnt + dice.gauss(0, 2)
    spread_ms = 28 - 18 * skill + dice.gauss(0, 2)
    return {
        **run_row(started),
        "until_ns": started.wall.ns + round(1.5 * played * 2 * 60 / bpm * 1e9),
        "reps": played,
        "played": played,
        "clean": clean,
        "longest_row": min(clean, dice.choice((2, 3, 4, 5, 7, 10))),
        "heard": played,
        "bias_ns": round((22 - 20 * skill + 10 * hard + dice.gauss(0, 3)) * NS_PER_MS),
        "spread_ns": round(max(spread_ms, 3) * NS_PER_MS),
        "held_ns": None if open_ms is None else round(open_ms * NS_PER_MS),
        "held_spread_ns": None if open_ms is None else round(max(spread_ms * 0.5, 2) * NS_PER_MS),
        "quick_ns": round(32 * NS_PER_MS),
        "quick_spread_ns": round(6 * NS_PER_MS),
    }
