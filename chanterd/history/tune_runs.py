"""Runs through tunes in the history: listed, looked at, and how ornaments go in them; deleted with the player.

The reps of drills are kept apart: a click of a tune is another thing than a click of a drill, so that nothing that is
said of tempi rests on tunes. A run through a tune has a number of its own, which no drill's run shares a list with.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import Literal

from sqlalchemy import Connection, RowMapping, func, select
from sqlalchemy.exc import DBAPIError

from chanterd.config import ChanterdError
from chanterd.history.answers import ALWAYS, Span
from chanterd.history.players import delete_run_of
from chanterd.history.run_rows import MOST_LISTED, older_than, played_by
from chanterd.history.schema import tune_results, tune_runs, tune_takes, tune_ways
from chanterd.history.sittings import known_by_words
from chanterd.history.store import Store
from chanterd.history.takes import take_from_parts
from chanterd.music.ornament import Book
from chanterd.practice.proposal.known import Known, Sitting
from chanterd.practice.tune_run import TunePlayed

LISTED = 20
"""How many runs through one tune its page shows, the newest: our own choice."""
_MISSING = "There is no run {run} through a tune; it may have been deleted."
_R, _W, _T = tune_runs.c, tune_ways.c, tune_takes.c


@dataclass(frozen=True, slots=True)
class TuneRunSeen:
    """One run through a tune or a passage of it, as lists show it."""

    kind: Literal["tune"]
    run: int
    """Its number among the runs through tunes."""
    began_ns: int
    utc_offset_s: int
    day: str
    until_ns: int
    """When something of it was last stored."""
    why: str | None
    """Why it ended; None if it is still going on, or was cut off."""
    tune: str
    """What it goes by on the shelf of tunes."""
    title: str
    first: int
    last: int
    """Its notes in the tune as written, both included."""
    asked_bpm: float | None
    """The click, or that of the count-in where it stopped then; None: not known."""
    click_bpm: float
    """The click; without one the tempo that was played."""
    click_off: bool
    standard: str
    input: str
    ornaments: int
    clean: int
    judged_ns: int | None
    """When it was judged again; None: never, or while it was played."""
    judged: bool
    heard: bool
    """Whether there is a take of it."""


def tune_runs_of(
    connection: Connection,
    player: int,
    span: Span = ALWAYS,
    tune: str | None = None,
    most: int = MOST_LISTED,
    before: TuneRunSeen | None = None,
) -> list[TuneRunSeen]:
    """The runs of a player through tunes, or through one; the newest first, only those older than ``before``."""
    wanted = played_by(tune_runs, player, span)
    if tune is not None:
        wanted.append(_R.tune == tune)
    if before is not None:
        wanted.append(older_than(tune_runs, before.began_ns, before.run))
    found = _SEEN.where(*wanted).order_by(_R.began_ns.desc(), _R.id.desc()).limit(most)
    return [_seen(row) for row in connection.execute(found).mappings()]


def tune_run_of(connection: Connection, run: int) -> TuneRunSeen:
    """One run of any player. Raises ChanterdError if there is no such run."""
    row = connection.execute(_SEEN.where(_R.id == run)).mappings().first()
    if row is None:
        raise ChanterdError(_MISSING.format(run=run))
    return _seen(row)


def result_of(connection: Connection, run: int) -> TunePlayed | None:
    """All that was judged of a run; None if it was never judged, only its figures were kept, or it is damaged."""
    from pydantic import TypeAdapter, ValidationError  # noqa: PLC0415 - it loads slowly, and most commands need no notes

    try:
        found = connection.scalar(select(tune_results.c.result).where(tune_results.c.run_id == run))
        return None if found is None else TypeAdapter(TunePlayed).validate_python(found)
    except (DBAPIError, ValidationError):
        return None


def tune_take_of(connection: Connection, run: int) -> bytes:
    """The take of a run as a Standard MIDI File, time 0 being when the first note was due.

    Raises ChanterdError if there is no such run, or it has no take.
    """
    head = connection.execute(select(_R.asked_bpm, _R.lead_in_clicks).where(_R.id == run)).first()
    if head is None:
        raise ChanterdError(_MISSING.format(run=run))
    bpm, name = head.asked_bpm, f"run {run} through a tune"
    take = None if bpm is None else take_from_parts(connection, tune_takes, run, bpm, head.lead_in_clicks, name)
    if take is None:
        raise ChanterdError(f"Run {run} through a tune has no take: an older chanterd kept none.")
    return take


def delete_tune_run(store: Store, run: int) -> None:
    """Delete a run for good. Raises ChanterdError if there is no such run."""
    delete_run_of(store, tune_runs, run, _MISSING.format(run=run))


def ways_in_tunes(connection: Connection, player: int, book: Book) -> list[Known]:
    """Every drill that the player played in tunes, day by day; no tempo of a tune is held."""
    found = (
        select(_W.drill, _R.day, func.sum(_W.played), func.sum(_W.clean), func.max(_R.click_bpm))
        .join(tune_runs, _R.id == _W.run_id)
        .where(_R.player_id == player)
        .group_by(_W.drill, _R.day)
        .order_by(_W.drill, _R.day)
    )
    sittings: dict[str, list[Sitting]] = defaultdict(list)
    for words, day, played, clean, tried in connection.execute(found):
        sittings[words].append(
            Sitting(date.fromisoformat(day), None, int(played), int(clean), tried, None, None, in_tunes=True)
        )
    return known_by_words(sittings, book)


_HEARD = select(_T.run_id).where(_T.run_id == _R.id).exists().label("heard")
_SEEN = select(tune_runs, _HEARD)


def _seen(row: RowMapping) -> TuneRunSeen:
    return TuneRunSeen(
        kind="tune",
        run=row["id"],
        began_ns=row["began_ns"],
        utc_offset_s=row["utc_offset_s"],
        day=row["day"],
        until_ns=row["until_ns"],
        why=row["why"],
        tune=row["tune"],
        title=row["title"] or row["tune"],
        first=row["first"],
        last=row["last"],
        asked_bpm=row["asked_bpm"],
        click_bpm=row["click_bpm"],
        click_off=row["click_off"],
        standard=row["standard"],
        input=row["input"],
        ornaments=row["ornaments"],
        clean=row["clean"],
        judged_ns=row["judged_ns"],
        judged=row["judge"] is not None,
        heard=row["heard"] and row["asked_bpm"] is not None,
    )
