"""Judging old free playing again: what it takes to judge a take, from the run's row."""

from dataclasses import dataclass

from sqlalchemy import Connection, RowMapping, select

from chanterd.hearing.chanter import Profile
from chanterd.history.rejudged import profile_from
from chanterd.history.run_rows import over
from chanterd.history.schema import free_runs, free_takes, tune_runs
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import NS_PER_MS

_R, _T = free_runs.c, tune_runs.c


@dataclass(frozen=True, slots=True)
class StoredFreeRun:
    """A run in the history, with its standard and chanter: everything needed to judge its take again."""

    run: int
    standard: str
    profile: Profile
    in_tunes_ms: tuple[tuple[float, float], ...]
    """From when to when a tune was followed meanwhile, from the beginning of the take."""

    def in_tune(self, at_ms: float) -> bool:
        """Whether a tune was followed then: what was played in it is counted there too."""
        return any(first <= at_ms <= last for first, last in self.in_tunes_ms)


def free_runs_to_judge(connection: Connection, player: int | None, now: WallTime) -> list[StoredFreeRun]:
    """Every run that has a take and is over, the oldest first; ``player`` None means everybody."""
    found = select(free_runs).where(over(free_runs, now), _R.id.in_(select(free_takes.c.run_id))).order_by(_R.id)
    if player is not None:
        found = found.where(_R.player_id == player)
    rows = connection.execute(found).mappings().all()
    return [
        StoredFreeRun(row["id"], row["standard"], profile_from(row["profile"]), _in_tunes(connection, row))
        for row in rows
    ]


def _in_tunes(connection: Connection, row: RowMapping) -> tuple[tuple[float, float], ...]:
    meanwhile = select(_T.began_ns, _T.until_ns).where(
        _T.player_id == row["player_id"], _T.began_ns < row["until_ns"], _T.until_ns > row["began_ns"]
    )
    began = row["began_ns"]
    return tuple(
        ((first - began) / NS_PER_MS, (last - began) / NS_PER_MS) for first, last in connection.execute(meanwhile)
    )
