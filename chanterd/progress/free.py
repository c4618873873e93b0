"""Free playing over weeks: how each ornament went with nothing chosen, in its first week of a span and in its last.

Without a click an ornament is judged by its shape only, so that these figures are kept apart from those of drills.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

from chanterd.history.answers import DayPractised, Span
from chanterd.history.free_runs import FreeDay, free_by_day, free_time
from chanterd.progress.days import with_more
from chanterd.progress.resolution import Grain, bucket


@dataclass(frozen=True, slots=True)
class FreeOrnament:
    """One ornament from one note to another, or from anywhere where the way in is not known."""

    drill: str
    """In words; the ornament's name alone where the way in is not known."""
    days: int
    played: int
    clean: int
    first_played: int
    first_clean: int
    first_held_ms: float | None
    """The usual length of its held notes in the first week; None if it has none."""
    last_played: int
    last_clean: int
    last_held_ms: float | None
    weeks: int
    """In how many weeks it was played so."""


def free_over_time(connection: Connection, player: int, span: Span) -> list[FreeOrnament]:
    """What went worst in its last week is first. What was part of a tune that was followed is counted there."""
    by_name: dict[str, list[FreeDay]] = defaultdict(list)
    for day in free_by_day(connection, player, span):
        by_name[day.drill or day.ornament].append(day)
    found = [_over_time(name, days) for name, days in by_name.items()]
    return sorted(found, key=lambda one: (one.last_clean / one.last_played, -one.last_played, one.drill))


def days_with_free(
    connection: Connection, player: int, span: Span, practised: Sequence[DayPractised]
) -> list[DayPractised]:
    """The days of practice with the time that went into free playing; its ornaments are no reps."""
    return with_more(practised, free_time(connection, player, span))


def _over_time(name: str, days: Sequence[FreeDay]) -> FreeOrnament:
    weeks: dict[str, list[FreeDay]] = defaultdict(list)
    for day in days:
        weeks[bucket(day.day, Grain.WEEK)].append(day)
    first, last = weeks[min(weeks)], weeks[max(weeks)]
    return FreeOrnament(
        drill=name,
        days=len({day.day for day in days}),
        played=sum(day.played for day in days),
        clean=sum(day.clean for day in days),
        first_played=sum(day.played for day in first),
        first_clean=sum(day.clean for day in first),
        first_held_ms=_held_ms(first),
        last_played=sum(day.played for day in last),
        last_clean=sum(day.clean for day in last),
        last_held_ms=_held_ms(last),
        weeks=len(weeks),
    )


def _held_ms(days: Sequence[FreeDay]) -> float | None:
    known = [(day.held_ms, day.played) for day in days if day.held_ms is not None]
    played = sum(weight for _, weight in known)
    return round(sum(length * weight for length, weight in known) / played, 1) if played else None
