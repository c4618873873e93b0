"""Runs through tunes in the history: written, listed, and how ornaments go in them; deleted with the player.

The reps of drills are kept apart: a click of a tune is another thing than a click of a drill, so that nothing that is
said of tempi rests on tunes.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, func, insert, select

from chanterd.config import ChanterdError
from chanterd.history.schema import tune_runs, tune_ways
from chanterd.history.tune_record import TuneRunEnded
from chanterd.music.drill import drill_from_words
from chanterd.music.ornament import Book
from chanterd.practice.proposal.known import Known, Sitting

LISTED = 20
"""Of the runs through a tune, the newest."""
_R, _W = tune_runs.c, tune_ways.c


@dataclass(frozen=True, slots=True)
class TuneRunKept:
    """One run through a tune or a passage of it."""

    day: date
    first: int
    last: int
    click_bpm: float
    click_off: bool
    ornaments: int
    clean: int


def write_tune_run(connection: Connection, entry: TuneRunEnded) -> int:
    """Write it and return its number. Writing the same one again changes nothing."""
    begun = entry.begun
    known = connection.scalar(select(_R.id).where(_R.key == begun.key))
    if known is not None:
        return int(known)
    passage = entry.passage
    row = {
        "key": begun.key,
        "player_id": begun.player,
        "began_ns": begun.wall.ns,
        "day": begun.wall.day,
        "tune": passage.tune,
        "first": passage.first,
        "last": passage.last,
        "click_bpm": passage.click_bpm,
        "click_off": passage.click_off,
        "standard": passage.standard,
        "ornaments": passage.ornaments,
        "clean": passage.clean,
    }
    number = int(connection.execute(insert(tune_runs).values(row).returning(_R.id)).scalar_one())
    ways = [{"run_id": number, "drill": way.drill, "played": way.played, "clean": way.clean} for way in passage.ways]
    if ways:
        connection.execute(insert(tune_ways), ways)
    return number


def runs_through(connection: Connection, player: int, tune: str) -> list[TuneRunKept]:
    """The player's last runs through a tune, the newest first."""
    found = (
        select(_R.day, _R.first, _R.last, _R.click_bpm, _R.click_off, _R.ornaments, _R.clean)
        .where(_R.player_id == player, _R.tune == tune)
        .order_by(_R.id.desc())
        .limit(LISTED)
    )
    return [
        TuneRunKept(
            date.fromisoformat(row.day), row.first, row.last, row.click_bpm, row.click_off, row.ornaments, row.clean
        )
        for row in connection.execute(found)
    ]


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
        sittings[words].append(Sitting(date.fromisoformat(day), None, int(played), int(clean), tried, None, None))
    known: list[Known] = []
    for words, there in sittings.items():
        try:
            known.append(Known(drill_from_words(words, book), tuple(there)))
        except ChanterdError:  # the book does not have it any more
            continue
    return known
