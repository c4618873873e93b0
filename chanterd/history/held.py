"""How long held steps were, by family and tempo: it shows whether a hand is even across families.

Only runs of the full ornament count: in its stages a placeholder is longer than the step it replaces.
"""

from dataclasses import dataclass
from math import sqrt

from sqlalchemy import Connection, Float, cast, func, select

from chanterd.history.answers import ALWAYS, Span
from chanterd.history.run_rows import played_by
from chanterd.history.schema import runs
from chanterd.music.units import NS_PER_MS

_C = runs.c


@dataclass(frozen=True, slots=True)
class HeldAt:
    """One family's held steps at one tempo: the mean of the runs' medians, weighted by their reps."""

    family: str
    click_bpm: float
    played: int
    held_ms: float
    spread_ms: float | None
    """The root of the mean of the runs' squared spreads."""


def held_by_tempo(connection: Connection, player: int, span: Span = ALWAYS) -> list[HeldAt]:
    """Sorted by family, then tempo."""
    weight = cast(_C.played, Float)
    spread = cast(_C.held_spread_ns, Float)
    there = func.sum(weight).filter(spread.is_not(None))
    found = (
        select(
            _C.family,
            _C.click_bpm,
            func.sum(_C.played),
            func.sum(cast(_C.held_ns, Float) * weight) / func.sum(weight),
            func.sum(spread * spread * weight) / there,
        )
        .where(*played_by(runs, player, span), _C.stage.is_(None), _C.played > 0, _C.held_ns.is_not(None))
        .group_by(_C.family, _C.click_bpm)
        .order_by(_C.family, _C.click_bpm)
    )
    return [
        HeldAt(family, bpm, int(played), held / NS_PER_MS, None if square is None else sqrt(square) / NS_PER_MS)
        for family, bpm, played, held, square in connection.execute(found)
    ]
