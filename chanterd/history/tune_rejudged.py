"""Judging old runs through tunes again: what it takes to judge a take, from the run's row."""

from dataclasses import dataclass

from sqlalchemy import Connection, select

from chanterd.hearing.chanter import Profile
from chanterd.history.rejudged import profile_from
from chanterd.history.run_rows import over
from chanterd.history.schema import tune_results, tune_runs, tune_takes
from chanterd.history.tune_record import TunePassage
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import Bpm

_R, _T = tune_runs.c, tune_takes.c


@dataclass(frozen=True, slots=True)
class StoredTuneRun:
    """A run in the history, with what was to be played and the chanter: everything needed to judge its take again."""

    run: int
    passage: TunePassage
    profile: Profile
    imported: bool
    """Whether its take is a whole file that was imported."""


def tune_runs_to_judge(
    connection: Connection,
    now: WallTime,
    *,
    player: int | None = None,
    run: int | None = None,
    only_unjudged: bool = False,
) -> list[StoredTuneRun]:
    """Every run that has a take and is over, the oldest first; ``player`` and ``run``: only theirs, only this one."""
    whole = select(_T.whole).where(_T.run_id == _R.id, _T.part == 0).scalar_subquery().label("whole")
    found = (
        select(tune_runs, whole)
        .where(over(tune_runs, now), _R.profile.is_not(None), whole.is_not(None))
        .order_by(_R.id)
    )
    if player is not None:
        found = found.where(_R.player_id == player)
    if run is not None:
        found = found.where(_R.id == run)
    if only_unjudged:
        found = found.where(_R.id.not_in(select(tune_results.c.run_id)))
    return [
        StoredTuneRun(
            run=row["id"],
            passage=TunePassage(
                tune=row["tune"],
                title=row["title"],
                written=row["written"],
                first=row["first"],
                last=row["last"],
                click_bpm=Bpm(row["asked_bpm"]),
                click_off=row["click_off"],
                standard=row["standard"],
            ),
            profile=profile_from(row["profile"]),
            imported=bool(row["whole"]),
        )
        for row in connection.execute(found).mappings()
    ]
