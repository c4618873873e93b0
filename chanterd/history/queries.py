"""The queries of the history: SQL in, frozen dataclasses out. All figures come from the runs, none from their reps.

Conventions: a span includes both its ends. Only runs of the full ornament on one way in, to the click, count towards
tempo, placement and weakness; all others count as practice and for the hand. Figures of a day are those of its runs
weighted by their reps: the bias is the mean of their medians, the spread the root of the mean of their squared spreads,
so that a habit that changes from run to run is not mistaken for roughness. A step that was never heard has no bias.
"""

from collections.abc import Sequence
from math import sqrt
from typing import Any

from sqlalchemy import ColumnElement, Connection, Float, RowMapping, cast, func, select

from chanterd.history.answers import (
    ALWAYS,
    DayPractised,
    HandDay,
    Overall,
    PlacementDay,
    RunSeen,
    Span,
    TempoDay,
    Way,
    Weakness,
)
from chanterd.history.damage import read_reps
from chanterd.history.run_rows import MOST_LISTED, older_than, played_by
from chanterd.history.schema import runs
from chanterd.judging.report import RepResult
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS

LEAST_PLAYED = 10
"""With fewer reps nothing is called weak: common practice, no source."""
WEAKEST = 5

_C = runs.c
_PLAIN = (_C.stage.is_(None), _C.mode.is_(None), _C.walks.is_(False))
"""The full ornament, on one way in, to the click."""
_WAY = (_C.ornament, _C.lead, _C.theme)
_WAY_SAID = (*_WAY, func.max(_C.family).label("family"), func.max(_C.drill).label("drill"))


def runs_of(
    connection: Connection,
    player: int,
    span: Span = ALWAYS,
    way: Way | None = None,
    most: int = MOST_LISTED,
    before: RunSeen | None = None,
) -> list[RunSeen]:
    """The runs of a player, the newest first; only those older than ``before``, if that is given."""
    wanted = _where(player, span, way)
    if before is not None:
        wanted.append(older_than(runs, before.began_ns, before.run))
    found = select(runs).where(*wanted).order_by(_C.began_ns.desc(), _C.id.desc()).limit(most)
    return [_seen(row) for row in connection.execute(found).mappings()]


def run_of(connection: Connection, run: int) -> RunSeen | None:
    """One run of any player; None if there is no such run."""
    row = connection.execute(select(runs).where(_C.id == run)).mappings().first()
    return None if row is None else _seen(row)


def reps_of(connection: Connection, run: int) -> list[RepResult]:
    """The judged reps of a run, in order; without those that are damaged."""
    return read_reps(connection, run)[0]


def fastest_by_day(
    connection: Connection, player: int, in_a_row: int, span: Span = ALWAYS, way: Way | None = None
) -> list[TempoDay]:
    """Per way and day the fastest tempo with ``in_a_row`` clean reps in a row; sorted by way, then day."""
    wanted = (*_where(player, span, way), *_PLAIN, _C.longest_row >= in_a_row)
    found = select(*_WAY, _C.day, func.max(_C.click_bpm)).where(*wanted).group_by(*_WAY, _C.day)
    ways = _ways(connection, wanted)
    return [
        TempoDay(ways[ornament, lead, theme], day, bpm)
        for ornament, lead, theme, day, bpm in connection.execute(found.order_by(*_WAY, _C.day))
    ]


def placement_by_day(
    connection: Connection, player: int, span: Span = ALWAYS, way: Way | None = None
) -> list[PlacementDay]:
    """Per way and day where the step on the beat fell; sorted by way, then day."""
    wanted = (*_where(player, span, way), *_PLAIN)
    figures = (*_counts(), *_mean("bias", _C.bias_ns), *_pooled("spread", _C.spread_ns))
    found = select(*_WAY, _C.day, *figures).where(*wanted).group_by(*_WAY, _C.day).order_by(*_WAY, _C.day)
    ways = _ways(connection, wanted)
    return [
        PlacementDay(ways[ornament, lead, theme], day, heard, played, clean, _ms(bias), _root_ms(spread))
        for ornament, lead, theme, day, heard, played, clean, bias, spread in connection.execute(found)
    ]


def hand_by_day(connection: Connection, player: int, span: Span = ALWAYS) -> list[HandDay]:
    """Per family and day how long the steps were, and how much that varied; sorted by family, then day."""
    found = (
        select(
            _C.family,
            _C.day,
            func.sum(_C.played).label("played"),
            *_mean("held", _C.held_ns, _C.played),
            *_pooled("held_spread", _C.held_spread_ns, _C.played),
            *_mean("quick", _C.quick_ns, _C.played),
            *_pooled("quick_spread", _C.quick_spread_ns, _C.played),
        )
        .where(*_where(player, span, None))
        .group_by(_C.family, _C.day)
        .order_by(_C.family, _C.day)
    )
    return [
        HandDay(
            row["family"],
            row["day"],
            int(row["played"]),
            _ms(row["held"]),
            _root_ms(row["held_spread"]),
            _ms(row["quick"]),
            _root_ms(row["quick_spread"]),
        )
        for row in connection.execute(found).mappings()
    ]


def days_practised(connection: Connection, player: int, span: Span = ALWAYS) -> list[DayPractised]:
    """Every day of practice, in order."""
    by_way = (
        select(
            _C.day,
            func.count().label("runs"),
            func.sum(_C.played).label("played"),
            func.sum(_C.clean).label("clean"),
            func.sum(_C.until_ns - _C.began_ns).label("spent_ns"),
        )
        .where(*_where(player, span, None), _C.played > 0)
        .group_by(_C.day, *_WAY)
        .subquery()
    )
    c = by_way.c
    found = (
        select(
            c.day,
            func.sum(c.runs).label("runs"),
            func.sum(c.played).label("played"),
            func.sum(c.clean).label("clean"),
            func.count().label("ways"),
            func.sum(c.spent_ns).label("spent_ns"),
        )
        .group_by(c.day)
        .order_by(c.day)
    )
    return [
        DayPractised(
            row["day"],
            int(row["runs"]),
            int(row["played"]),
            int(row["clean"]),
            row["ways"],
            round(float(row["spent_ns"]) / NS_PER_MINUTE, 1),
        )
        for row in connection.execute(found).mappings()
    ]


def weakest(
    connection: Connection,
    player: int,
    span: Span = ALWAYS,
    most: int = WEAKEST,
    least_played: int = LEAST_PLAYED,
) -> list[Weakness]:
    """The ways with the smallest share of clean reps in the span, the weakest first; among equals the rougher first."""
    found = (
        select(
            *_WAY_SAID,
            *_counts(),
            func.count(_C.day.distinct()).label("days"),
            func.max(_C.day).label("last_day"),
            func.max(_C.click_bpm).label("fastest_bpm"),
            *_mean("bias", _C.bias_ns),
            *_pooled("spread", _C.spread_ns),
        )
        .where(*_where(player, span, None), *_PLAIN)
        .group_by(*_WAY)
        .having(func.sum(_C.played) >= max(least_played, 1))
    )
    weak = [
        Weakness(
            _way(row),
            row["played"],
            row["clean"],
            row["days"],
            row["last_day"],
            _ms(row["bias"]),
            _root_ms(row["spread"]),
            row["fastest_bpm"],
        )
        for row in connection.execute(found).mappings()
    ]
    return sorted(weak, key=lambda one: (one.clean_share, -(one.spread_ms or 0), one.way.drill))[:most]


def overall(connection: Connection, player: int, in_a_row: int, span: Span = ALWAYS) -> list[Overall]:
    """Every way that was played, and how it went."""
    held = cast(func.max(_C.click_bpm).filter(_C.longest_row >= in_a_row), Float)
    found = (
        select(
            *_WAY_SAID,
            func.count().label("runs"),
            *_counts(),
            func.count(_C.day.distinct()).label("days"),
            func.min(_C.day).label("first_day"),
            func.max(_C.day).label("last_day"),
            held.label("fastest_clean_bpm"),
        )
        .where(*_where(player, span, None), *_PLAIN, _C.played > 0)
        .group_by(*_WAY)
        .order_by(*_WAY)
    )
    return [
        Overall(
            _way(row),
            row["runs"],
            row["played"],
            row["clean"],
            row["days"],
            row["first_day"],
            row["last_day"],
            row["fastest_clean_bpm"],
        )
        for row in connection.execute(found).mappings()
    ]


def _where(player: int, span: Span, way: Way | None) -> list[ColumnElement[bool]]:
    wanted = played_by(runs, player, span)
    if way is not None:
        wanted += [_C.ornament == way.ornament, _C.lead == way.lead, _C.theme == way.theme]
    return wanted


def _counts() -> list[ColumnElement[Any]]:
    return [cast(func.sum(column), runs.c.reps.type).label(column.name) for column in (_C.heard, _C.played, _C.clean)]


def _mean(name: str, column: ColumnElement[Any], weight: ColumnElement[int] = _C.heard) -> list[ColumnElement[Any]]:
    """The weighted mean of the figures there are; a run with a figure has reps to weigh it by."""
    there = func.sum(weight).filter(column.is_not(None))
    return [(func.sum(cast(column, Float) * weight) / cast(there, Float)).label(name)]


def _pooled(name: str, column: ColumnElement[Any], weight: ColumnElement[int] = _C.heard) -> list[ColumnElement[Any]]:
    """The weighted mean of the squares of the figures there are."""
    there = func.sum(weight).filter(column.is_not(None))
    return [(func.sum(cast(column, Float) * cast(column, Float) * weight) / cast(there, Float)).label(name)]


def _ms(ns: float | None) -> float | None:
    return None if ns is None else round(ns / NS_PER_MS, 3)


def _root_ms(square: float | None) -> float | None:
    return None if square is None else _ms(sqrt(square))


def _ways(connection: Connection, wanted: Sequence[ColumnElement[bool]]) -> dict[tuple[str, str, str], Way]:
    """The ways that fulfil the conditions, so that each is made once and not once a day."""
    found = connection.execute(select(*_WAY_SAID).where(*wanted).group_by(*_WAY))
    return {(row[0], row[1], row[2]): Way(*row) for row in found}


def _way(row: RowMapping) -> Way:
    return Way(row["ornament"], row["lead"], row["theme"], row["family"], row["drill"])


def _seen(row: RowMapping) -> RunSeen:
    return RunSeen(
        run=row["id"],
        began_ns=row["began_ns"],
        utc_offset_s=row["utc_offset_s"],
        day=row["day"],
        until_ns=row["until_ns"],
        why=row["why"],
        way=_way(row),
        stage=row["stage"],
        click_bpm=row["click_bpm"],
        standard=row["standard"],
        spread=row["spread"],
        layout=row["layout"],
        walks=row["walks"],
        mode=row["mode"],
        rule=row["rule"],
        reps=row["reps"],
        played=row["played"],
        clean=row["clean"],
        longest_row=row["longest_row"],
        bias_ms=_ms(row["bias_ns"]),
        spread_ms=_ms(row["spread_ns"]),
        judged_ns=row["judged_ns"],
    )
