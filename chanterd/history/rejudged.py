"""Judging old takes again: what it takes to judge a run's take, and how its new results replace the old ones."""

import json
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, RowMapping, delete, insert, select, update

from chanterd import __version__
from chanterd.hearing.chanter import Profile
from chanterd.history.figures import Figures, fault_rows, rep_row, step_rows
from chanterd.history.record import CLICK_OFF
from chanterd.history.run_rows import over
from chanterd.history.schema import faults, reps, runs, steps, takes
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.music.note import note_from_words
from chanterd.practice.exercise import ExerciseWords


@dataclass(frozen=True, slots=True)
class StoredRun:
    """A run in the history, with its exercise and chanter: everything needed to judge its take again."""

    run: int
    words: ExerciseWords
    profile: Profile
    reps: int
    """How many the history has now."""


def stored_run(row: RowMapping) -> StoredRun:
    """The run in that row."""
    return StoredRun(
        run=row["id"],
        words=ExerciseWords(
            drill=row["drill"],
            click_bpm=row["click_bpm"],
            standard=row["standard"],
            spread=row["spread"],
            layout=row["layout"],
            click_off=row["mode"] == CLICK_OFF,
        ),
        profile=profile_from(row["profile"]),
        reps=row["reps"],
    )


def profile_from(text: str) -> Profile:
    """The chanter's profile as ``record.profile_json`` wrote it."""
    stored = json.loads(text)
    return Profile(
        name=stored["name"],
        said="",
        notes={int(midi): note_from_words(words) for midi, words in stored["notes"].items()},
        channel=stored["channel"],
        drones=frozenset(stored["drones"]),
        bounce_ms=stored["bounce_ms"],
    )


def to_judge(connection: Connection, player: int | None, now: WallTime) -> list[StoredRun]:
    """Every run that has a take and is over, the oldest first; ``player`` None means everybody."""
    found = select(runs).where(over(runs, now), runs.c.id.in_(select(takes.c.run_id))).order_by(runs.c.id)
    if player is not None:
        found = found.where(runs.c.player_id == player)
    return [stored_run(row) for row in connection.execute(found).mappings()]


def whole(results: Sequence[RepResult], stored: int) -> list[RepResult]:
    """The results without a rest or an unfinished rep at the end, which were not stored when they were played."""
    trimmed = list(results)
    while len(trimmed) > stored and (trimmed[-1]["skipped"] or trimmed[-1]["steps"][-1]["onset_ms"] is None):
        trimmed.pop()
    return trimmed


def replace(connection: Connection, run: int, results: Sequence[RepResult], now: WallTime) -> None:
    """Replace the run's results, and record which version judged them and when; the take stays as it is."""
    connection.execute(delete(reps).where(reps.c.run_id == run))  # its steps and faults go with it
    for table, rows in (
        (reps, [rep_row(run, result) for result in results]),
        (steps, [row for result in results for row in step_rows(run, result)]),
        (faults, [row for result in results for row in fault_rows(run, result)]),
    ):
        if rows:
            connection.execute(insert(table), rows)
    figures = Figures()
    figures.add(results)
    judged = {"judge": __version__, "judged_ns": now.ns, **figures.as_row()}
    connection.execute(update(runs).where(runs.c.id == run).values(judged))
