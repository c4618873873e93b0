"""Free playing out of a take: every ornament in it, judged by its shape; for imports, and for takes judged again."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from chanterd.assessing.assess import hear_take
from chanterd.assessing.listen import ornaments_among
from chanterd.hearing.take import parse_take
from chanterd.history.free_ledger import replace_judged
from chanterd.history.free_record import FreeWay, WaysPlayed
from chanterd.history.free_rejudged import StoredFreeRun
from chanterd.history.free_runs import free_take_of, ornaments_of
from chanterd.history.store import Store
from chanterd.history.wall_clock import WallTime
from chanterd.judging.standard import Standard, find_standard
from chanterd.listening.found import Found
from chanterd.listening.judged import judge_found
from chanterd.listening.report import HeardOrnament, heard_ornament
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.tables import Tables


@dataclass(frozen=True, slots=True)
class FreeJudged:
    """What is in a take of free playing; what is no ornament of the book is left out, as when it is played."""

    ornaments: tuple[HeardOrnament, ...]
    ways: tuple[FreeWay, ...]


def free_judged(
    found: Iterable[Found], standard: Standard, begins_ns: Ns, in_tune: Callable[[float], bool] = lambda _: False
) -> FreeJudged:
    """Judge what was found, times counted from ``begins_ns``; ``in_tune``: whether a tune was followed then, in ms."""
    ways = WaysPlayed()
    ornaments: list[HeardOrnament] = []
    for one in found:
        judged = judge_found(one, standard)
        if judged is None:
            continue
        heard = heard_ornament(one, standard, lambda at_ns: round((at_ns - begins_ns) / NS_PER_MS, 3))
        ways.add(judged, in_tune=in_tune(heard["start_ms"]))
        ornaments.append(heard)
    return FreeJudged(tuple(ornaments), ways.rows())


def judge_free_again(store: Store, stored: StoredFreeRun, tables: Tables, now: WallTime) -> bool:
    """Judge a run's take by today's judge, and keep that; whether its ornaments or their faults are others now.

    Raises ChanterdError if its standard or its take is gone; then everything is as it was.
    """
    standard = find_standard(stored.standard, tables.standards)
    with store.reading() as connection:
        take = parse_take(Path(f"run {stored.run}"), free_take_of(connection, stored.run))
        before = ornaments_of(connection, stored.run)
    found = ornaments_among(list(hear_take(take, stored.profile)), tables.book)
    judged = free_judged(found, standard, Ns(0), stored.in_tune)
    with store.writing() as connection:
        replace_judged(connection, stored.run, judged.ornaments, judged.ways, now.ns)
    return _said(before) != _said(judged.ornaments)


def _said(ornaments: Iterable[HeardOrnament]) -> list[tuple[str | None, list[str]]]:
    """What a player notices of it."""
    return [(one["drill"] or one["ornament"], [fault["fault"] for fault in one["faults"]]) for one in ornaments]
