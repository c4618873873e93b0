"""What is known of each ornament and way in from the days it was practised on: out of the runs, for the proposal."""

import json
from collections import defaultdict
from datetime import date
from math import sqrt

from sqlalchemy import Connection, Float, cast, func, select

from chanterd.config import ChanterdError
from chanterd.history.schema import runs
from chanterd.music.drill import make_drill
from chanterd.music.note import note_from_words
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MS
from chanterd.practice.proposal.known import Known, Sitting

_C = runs.c
_WAY = (_C.ornament, _C.lead, _C.theme)
_Place = tuple[str, str, str]


def known_ways(connection: Connection, player: int, in_a_row: int, book: Book) -> list[Known]:
    """Every way of the book that the player played, in the order of their words.

    What the book has not, or not any more, is left out, and so is a stage that it has not.
    """
    sittings = _sittings(connection, player, in_a_row)
    aims = _aims(connection, player)
    found = [_known(place, there, aims.get(place), book) for place, there in sittings.items()]
    return sorted((one for one in found if one is not None), key=lambda one: one.drill.words)


def _known(place: _Place, sittings: list[Sitting], aim_bpm: float | None, book: Book) -> Known | None:
    try:
        ornament = book.find(place[0])
        lead, theme = note_from_words(place[1]), note_from_words(place[2])
        drill = make_drill(ornament, lead, theme)
    except ChanterdError:
        return None
    there = [one for one in sittings if one.stage is None or one.stage < drill.stages]
    return Known(drill, tuple(there), aim_bpm) if there else None


def _sittings(connection: Connection, player: int, in_a_row: int) -> dict[_Place, list[Sitting]]:
    """By way, in order of days; of one day the stages first and the full ornament last.

    Up and down the scale, and without the click, other things are practised than one way on the beat.
    """
    weight = func.sum(_C.heard).filter(_C.spread_ns.is_not(None))
    squares = func.sum(cast(_C.spread_ns, Float) * cast(_C.spread_ns, Float) * _C.heard)
    asked = (
        select(
            *_WAY,
            _C.day,
            _C.stage,
            func.sum(_C.played).label("played"),
            func.sum(_C.clean).label("clean"),
            func.max(_C.click_bpm).label("tried"),
            func.max(_C.click_bpm).filter(_C.longest_row >= in_a_row).label("held"),
            (squares / cast(func.nullif(weight, 0), Float)).label("spread"),
        )
        .where(_C.player_id == player, _C.played > 0, _C.walks.is_(False), _C.mode.is_(None))
        .group_by(*_WAY, _C.day, _C.stage)
        .order_by(*_WAY, _C.day, _C.stage.is_(None), _C.stage)
    )
    found: dict[_Place, list[Sitting]] = defaultdict(list)
    for row in connection.execute(asked):
        found[row.ornament, row.lead, row.theme].append(
            Sitting(
                day=date.fromisoformat(row.day),
                stage=row.stage,
                played=int(row.played),
                clean=int(row.clean),
                tried_bpm=row.tried,
                held_bpm=row.held,
                spread_ms=None if row.spread is None else round(sqrt(row.spread) / NS_PER_MS, 3),
            )
        )
    return found


def _aims(connection: Connection, player: int) -> dict[_Place, float]:
    """The performing tempo of the last tempo ladder of each way that had one."""
    newest = (
        select(*_WAY, func.max(_C.id).label("id"))
        .where(_C.player_id == player, _C.rule.is_not(None))
        .group_by(*_WAY)
        .subquery()
    )
    ruled = select(*_WAY, _C.rule).join(newest, newest.c.id == _C.id)
    found: dict[_Place, float] = {}
    for ornament, lead, theme, rule in connection.execute(ruled):
        told = json.loads(rule)
        if isinstance(told, dict) and isinstance(told.get("performing_bpm"), int | float):
            found[ornament, lead, theme] = float(told["performing_bpm"])
    return found
