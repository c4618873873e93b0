"""What was played of tunes day by day: the runs of each tune, and how each ornament went in it.

Conventions: days are ISO text at the player's own place; a span includes both its ends; tempi are clicks a minute.
"""

from dataclasses import dataclass

from sqlalchemy import Connection, func, select

from chanterd.history.answers import ALWAYS, Span
from chanterd.history.run_rows import played_by
from chanterd.history.schema import tune_runs, tune_ways
from chanterd.music.units import NS_PER_MINUTE

_R, _W = tune_runs.c, tune_ways.c


@dataclass(frozen=True, slots=True)
class TuneDay:
    """One tune on one day."""

    tune: str
    """What it goes by on the shelf of tunes."""
    title: str
    day: str
    runs: int
    ornaments: int
    clean: int
    slowest_bpm: float
    fastest_bpm: float
    minutes: float
    """Time spent in runs, from the start to the last that was stored."""


@dataclass(frozen=True, slots=True)
class TuneWayDay:
    """One drill of the book in one tune on one day."""

    tune: str
    drill: str
    day: str
    played: int
    clean: int


def tune_days(connection: Connection, player: int, span: Span = ALWAYS) -> list[TuneDay]:
    """Every tune and day on which it was played, in the order of days."""
    found = (
        select(
            _R.tune,
            func.max(_R.title).label("title"),
            _R.day,
            func.count().label("runs"),
            func.sum(_R.ornaments).label("ornaments"),
            func.sum(_R.clean).label("clean"),
            func.min(_R.click_bpm).label("slowest"),
            func.max(_R.click_bpm).label("fastest"),
            func.sum(_R.until_ns - _R.began_ns).label("spent_ns"),
        )
        .where(*played_by(tune_runs, player, span), _R.ornaments > 0)
        .group_by(_R.tune, _R.day)
        .order_by(_R.day, _R.tune)
    )
    return [
        TuneDay(
            tune=row["tune"],
            title=row["title"] or row["tune"],
            day=row["day"],
            runs=row["runs"],
            ornaments=int(row["ornaments"]),
            clean=int(row["clean"]),
            slowest_bpm=row["slowest"],
            fastest_bpm=row["fastest"],
            minutes=round(float(row["spent_ns"]) / NS_PER_MINUTE, 1),
        )
        for row in connection.execute(found).mappings()
    ]


def tune_way_days(connection: Connection, player: int, span: Span = ALWAYS) -> list[TuneWayDay]:
    """Every drill of the book in every tune by day, in the order of days."""
    found = (
        select(_R.tune, _W.drill, _R.day, func.sum(_W.played), func.sum(_W.clean))
        .join(tune_runs, _R.id == _W.run_id)
        .where(*played_by(tune_runs, player, span))
        .group_by(_R.tune, _W.drill, _R.day)
        .order_by(_R.day, _R.tune, _W.drill)
    )
    return [
        TuneWayDay(tune, drill, day, int(played), int(clean))
        for tune, drill, day, played, clean in connection.execute(found)
    ]
