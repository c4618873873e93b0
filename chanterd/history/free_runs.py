"""Free playing in the history: listed, looked at, how each ornament goes in it; deleted with the player.

Reps of drills are kept apart: without a beat an ornament is judged by its shape only, and it has no tempo. A run of
free playing has a number of its own, which no drill's and no tune's run shares a list with.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Literal

from sqlalchemy import Connection, RowMapping, func, select
from sqlalchemy.exc import DBAPIError

from chanterd.config import ChanterdError
from chanterd.history.answers import ALWAYS, Span
from chanterd.history.free_record import WRITTEN_BPM, faults_from
from chanterd.history.players import delete_run_of
from chanterd.history.run_rows import MOST_LISTED, older_than, played_by
from chanterd.history.schema import free_results, free_runs, free_takes, free_ways
from chanterd.history.sittings import known_by_words
from chanterd.history.store import Store
from chanterd.history.takes import take_from_parts
from chanterd.listening.report import HeardOrnament
from chanterd.listening.tally import SummaryRow
from chanterd.music.ornament import Book
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS
from chanterd.practice.proposal.known import Known, Sitting

_MISSING = "There is no run {run} of free playing; it may have been deleted."
_R, _W, _T, _O = free_runs.c, free_ways.c, free_takes.c, free_results.c


@dataclass(frozen=True, slots=True)
class FreeRunSeen:
    """One run of free playing, as lists show it."""

    kind: Literal["free"]
    run: int
    """Its number among the runs of free playing."""
    began_ns: int
    utc_offset_s: int
    day: str
    until_ns: int
    """When something of it was last stored."""
    why: str | None
    """Why it ended; None if it is still going on, or was cut off."""
    standard: str
    input: str
    ornaments: int
    clean: int
    judged_ns: int | None
    heard: bool
    """Whether there is a take of it."""


@dataclass(frozen=True, slots=True)
class FreeDay:
    """How one ornament went on one day with nothing chosen; lengths are means of medians."""

    ornament: str
    drill: str
    """In words; empty where the way in is not known."""
    day: str
    played: int
    clean: int
    held_ms: float | None
    quick_ms: float | None
    faults: dict[str, int]


def free_runs_of(
    connection: Connection,
    player: int,
    span: Span = ALWAYS,
    most: int = MOST_LISTED,
    before: FreeRunSeen | None = None,
) -> list[FreeRunSeen]:
    """The runs of a player, the newest first; only those older than ``before``, if that is given."""
    wanted = played_by(free_runs, player, span)
    if before is not None:
        wanted.append(older_than(free_runs, before.began_ns, before.run))
    found = _SEEN.where(*wanted).order_by(_R.began_ns.desc(), _R.id.desc()).limit(most)
    return [_seen(row) for row in connection.execute(found).mappings()]


def free_run_of(connection: Connection, run: int) -> FreeRunSeen:
    """One run of any player. Raises ChanterdError if there is no such run."""
    row = connection.execute(_SEEN.where(_R.id == run)).mappings().first()
    if row is None:
        raise ChanterdError(_MISSING.format(run=run))
    return _seen(row)


def ornaments_of(connection: Connection, run: int) -> list[HeardOrnament]:
    """The ornaments of a run in order of time, from the beginning of its take; without those that are damaged."""
    from pydantic import TypeAdapter, ValidationError  # noqa: PLC0415 - it loads slowly, and most commands need none

    adapter = TypeAdapter(list[HeardOrnament])
    found: list[HeardOrnament] = []
    try:
        for part in connection.scalars(select(_O.result).where(_O.run_id == run).order_by(_O.part)):
            try:
                found += adapter.validate_python(part)
            except ValidationError:
                continue
    except DBAPIError:
        return found
    return found


def free_take_of(connection: Connection, run: int) -> bytes:
    """The take of a run as a Standard MIDI File. Raises ChanterdError if there is no such run, or it has no take."""
    free_run_of(connection, run)
    take = take_from_parts(connection, free_takes, run, WRITTEN_BPM, 0, f"run {run} of free playing")
    if take is None:
        raise ChanterdError(f"Run {run} of free playing has no take.")
    return take


def delete_free_run(store: Store, run: int) -> None:
    """Delete a run for good. Raises ChanterdError if there is no such run."""
    delete_run_of(store, free_runs, run, _MISSING.format(run=run))


def free_by_day(connection: Connection, player: int, span: Span = ALWAYS, *, with_tunes: bool = False) -> list[FreeDay]:
    """Per ornament, way in and day how it went; sorted by these.

    What was part of a tune that was followed is counted in the tune, and here only ``with_tunes``.
    """
    wanted = played_by(free_runs, player, span)
    if not with_tunes:
        wanted.append(_W.in_tune.is_(False))
    found = select(free_ways, _R.day).join(free_runs, _R.id == _W.run_id).where(*wanted)
    rows: dict[tuple[str, str, str], list[RowMapping]] = defaultdict(list)
    for row in connection.execute(found.order_by(_W.ornament, _W.drill, _R.day, _R.id)).mappings():
        rows[row["ornament"], row["drill"], row["day"]].append(row)
    return [_day(*key, there) for key, there in rows.items()]


def free_time(connection: Connection, player: int, span: Span = ALWAYS) -> list[tuple[str, int, float]]:
    """By day how many runs there were and how many minutes they took; in the order of days."""
    found = (
        select(_R.day, func.count(), func.sum(_R.until_ns - _R.began_ns))
        .where(*played_by(free_runs, player, span))
        .group_by(_R.day)
        .order_by(_R.day)
    )
    return [
        (day, count, round(float(spent_ns) / NS_PER_MINUTE, 1)) for day, count, spent_ns in connection.execute(found)
    ]


def free_today(connection: Connection, player: int, day: str) -> list[tuple[SummaryRow, str]]:
    """How each ornament and way in went on a day, in tunes too, with the drill in words."""
    return [
        (
            {
                "ornament": one.ornament,
                "played": one.played,
                "clean": one.clean,
                "held_ms": one.held_ms,
                "quick_ms": one.quick_ms,
                "faults": one.faults,
            },
            one.drill,
        )
        for one in free_by_day(connection, player, Span(day, day), with_tunes=True)
    ]


def ways_in_free(connection: Connection, player: int, book: Book) -> list[Known]:
    """Every drill that the player played with nothing chosen, day by day; it has no tempo, so none is held."""
    sittings: dict[str, list[Sitting]] = defaultdict(list)
    for one in free_by_day(connection, player):
        if one.drill:
            day = date.fromisoformat(one.day)
            sittings[one.drill].append(Sitting(day, None, one.played, one.clean, None, None, None))
    return known_by_words(sittings, book)


def _day(ornament: str, drill: str, day: str, rows: list[RowMapping]) -> FreeDay:
    faults: dict[str, int] = defaultdict(int)
    for row in rows:
        for fault, times in faults_from(row["faults"]).items():
            faults[fault] += times
    return FreeDay(
        ornament,
        drill,
        day,
        sum(row["played"] for row in rows),
        sum(row["clean"] for row in rows),
        _mean_ms(rows, "held_ns"),
        _mean_ms(rows, "quick_ns"),
        dict(sorted(faults.items(), key=lambda one: -one[1])),
    )


def _mean_ms(rows: list[RowMapping], name: str) -> float | None:
    known = [(row[name], row["played"]) for row in rows if row[name] is not None]
    played = sum(weight for _, weight in known)
    return round(sum(length * weight for length, weight in known) / played / NS_PER_MS, 1) if played else None


_HEARD = select(_T.run_id).where(_T.run_id == _R.id).exists().label("heard")
_SEEN = select(free_runs, _HEARD)


def _seen(row: RowMapping) -> FreeRunSeen:
    return FreeRunSeen(
        kind="free",
        run=row["id"],
        began_ns=row["began_ns"],
        utc_offset_s=row["utc_offset_s"],
        day=row["day"],
        until_ns=row["until_ns"],
        why=row["why"],
        standard=row["standard"],
        input=row["input"],
        ornaments=row["ornaments"],
        clean=row["clean"],
        judged_ns=row["judged_ns"],
        heard=row["heard"],
    )
