"""Tunes over weeks: how many of their ornaments were clean, at which tempo, and how each ornament of them went.

A tune is compared with itself: what was played of it in its first week of a span with what was played in its last.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

from chanterd.history.answers import DayPractised, Span
from chanterd.history.tune_days import TuneDay, TuneWayDay, tune_days, tune_way_days
from chanterd.progress.days import with_more
from chanterd.progress.resolution import Grain, bucket


@dataclass(frozen=True, slots=True)
class TuneWeek:
    """One tune in one week."""

    day: str
    """Its Monday."""
    runs: int
    ornaments: int
    clean: int
    slowest_bpm: float
    fastest_bpm: float


@dataclass(frozen=True, slots=True)
class TuneOrnament:
    """One drill of the book in a tune: in the first week in which it was played there, and in the last."""

    drill: str
    first_played: int
    first_clean: int
    last_played: int
    last_clean: int
    weeks: int
    """In how many weeks it was played there."""


@dataclass(frozen=True, slots=True)
class TuneOverTime:
    """One tune over a span of days."""

    tune: str
    title: str
    days: int
    runs: int
    last_day: str
    weeks: list[TuneWeek]
    """Those in which it was played, in order."""
    ornaments: list[TuneOrnament]
    """What went worst in its last week is first."""


def tunes_over_time(connection: Connection, player: int, span: Span) -> list[TuneOverTime]:
    """Every tune that was played in the span, the one that was played last first."""
    days, ways = tune_days(connection, player, span), tune_way_days(connection, player, span)
    by_tune: dict[str, list[TuneDay]] = defaultdict(list)
    for day in days:
        by_tune[day.tune].append(day)
    found = [_over_time(tune, there, [one for one in ways if one.tune == tune]) for tune, there in by_tune.items()]
    return sorted(found, key=lambda one: (one.last_day, one.runs), reverse=True)


def _over_time(tune: str, days: Sequence[TuneDay], ways: Iterable[TuneWayDay]) -> TuneOverTime:
    weeks: dict[str, list[TuneDay]] = defaultdict(list)
    for day in days:
        weeks[bucket(day.day, Grain.WEEK)].append(day)
    return TuneOverTime(
        tune=tune,
        title=days[-1].title,
        days=len(days),
        runs=sum(day.runs for day in days),
        last_day=days[-1].day,
        weeks=[
            TuneWeek(
                day=monday,
                runs=sum(one.runs for one in of),
                ornaments=sum(one.ornaments for one in of),
                clean=sum(one.clean for one in of),
                slowest_bpm=min(one.slowest_bpm for one in of),
                fastest_bpm=max(one.fastest_bpm for one in of),
            )
            for monday, of in weeks.items()
        ],
        ornaments=_ornaments(ways),
    )


def _ornaments(ways: Iterable[TuneWayDay]) -> list[TuneOrnament]:
    weeks: dict[str, dict[str, list[TuneWayDay]]] = defaultdict(lambda: defaultdict(list))
    for way in ways:
        weeks[way.drill][bucket(way.day, Grain.WEEK)].append(way)
    found: list[TuneOrnament] = []
    for drill, by_week in weeks.items():
        first, last = (by_week[week] for week in (min(by_week), max(by_week)))
        found.append(
            TuneOrnament(
                drill=drill,
                first_played=sum(one.played for one in first),
                first_clean=sum(one.clean for one in first),
                last_played=sum(one.played for one in last),
                last_clean=sum(one.clean for one in last),
                weeks=len(by_week),
            )
        )
    return sorted(found, key=lambda one: (one.last_clean / one.last_played, -one.last_played, one.drill))


def days_with_tunes(
    connection: Connection, player: int, span: Span, drilled: Sequence[DayPractised]
) -> list[DayPractised]:
    """The days of practice with the time that went into tunes; ornaments of tunes are no reps."""
    return with_more(drilled, ((one.day, one.runs, one.minutes) for one in tune_days(connection, player, span)))
