"""What the runs show of each ornament and way in, day by day, for the proposal."""

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from math import sqrt

from sqlalchemy import Connection, Float, cast, func, select

from chanterd.config import ChanterdError
from chanterd.history.schema import runs
from chanterd.music.drill import drill_from_words, make_drill
from chanterd.music.note import note_from_words
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MS
from chanterd.practice.proposal.known import Known, Sitting

_C = runs.c
_WAY = (_C.ornament, _C.lead, _C.theme)
_Place = tuple[str, str, str]


def known_ways(connection: Connection, player: int, in_a_row: int, book: Book) -> list[Known]:
    """Every way of the book that the player played, sorted by its words.

    Ways and stages that the book does not have, or no longer has, are left out.
    """
    sittings = _sittings(connection, player, in_a_row)
    aims = _aims(connection, player)
    found = [_known(place, there, aims.get(place), book) for place, there in sittings.items()]
    return sorted((one for one in found if one is not None), key=lambda one: one.drill.words)


def known_by_words(sittings: Mapping[str, Sequence[Sitting]], book: Book) -> list[Known]:
    """The drills of the book with these words; those that it does not have any more are left out."""
    known: list[Known] = []
    for words, there in sittings.items():
        try:
            known.append(Known(drill_from_words(words, book), tuple(there)))
        except ChanterdError:
            continue
    return known


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
    """By way, sorted by day; within a day the stages first and the full ornament last.

    Runs up and down the scale, and runs without the click, practise something else and are left out.
    """
    weight = func.sum(_C.heard).filter(_C.spread_ns.is_not(None))
    squares = func.sum(cast(_C.spread_ns, Float) * cast(_C.spread_ns, Float) * _C.heard)
    query = (
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
    for row in connection.execute(query):
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
    """The performing tempo of each way's last tempo ladder, if it had one."""
    newest = (
        select(*_WAY, func.max(_C.id).label("id"))
        .where(_C.player_id == player, _C.rule.is_not(None))
        .group_by(*_WAY)
        .subquery()
    )
    ruled = select(*_WAY, _C.rule).join(newest, newest.c.id == _C.id)
    found: dict[_Place, float] = {}
    for ornament, lead, theme, rule in connection.execute(ruled):
        written = json.loads(rule)
        if isinstance(written, dict) and isinstance(written.get("performing_bpm"), int | float):
            found[ornament, lead, theme] = float(written["performing_bpm"])
    return found
