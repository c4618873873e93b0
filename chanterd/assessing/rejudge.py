"""Assessing for the history: an imported take, or every take in the history, by the present judge."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from chanterd.assessing.assess import Assessment, assess
from chanterd.assessing.free_again import judge_free_again
from chanterd.assessing.request import Request
from chanterd.assessing.tune_again import judge_tune_again
from chanterd.config import ChanterdError
from chanterd.hearing.take import Take, parse_take
from chanterd.history.free_rejudged import StoredFreeRun, free_runs_to_judge
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.queries import reps_of
from chanterd.history.record import RepsClosed, RunBegun, RunEnded
from chanterd.history.rejudged import StoredRun, replace, to_judge, whole
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from chanterd.history.tune_rejudged import StoredTuneRun, tune_runs_to_judge
from chanterd.history.tune_runs import result_of
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.music.tunes.shelf import Shelf
from chanterd.practice.exercise import resolve
from chanterd.practice.tune_run import TunePlayed
from chanterd.tables import Tables

IMPORTED = "imported"
"""Why an imported run ended, and what its input is called."""

_PREFIX = {StoredRun: "", StoredTuneRun: "tune-", StoredFreeRun: "free-"}


@dataclass(frozen=True, slots=True)
class Again:
    """What came of judging everything again."""

    judged: int
    changed: int
    """Runs whose results are others now."""
    left: tuple[str, ...]
    """Why a run was left as it was, a sentence each."""


def keep_take(store: Store, player: Player, name: str, request: Request, found: Assessment, ended: WallTime) -> int:
    """Add a player's assessed take to the history, with the file as it is; the number of the new run.

    ``name`` is the file's; ``ended`` is when the playing did. Raises ChanterdError if it cannot be written.
    """
    begun = RunBegun(
        key=uuid4().hex,
        player=player.number,
        name=player.name,
        wall=WallTime(ended.ns - request.take.messages[-1][1], ended.utc_offset_s),
        exercise=request.exercise,
        walks=len(request.sequence) > 1,
        input=f"{IMPORTED}: {name}",
        profile=request.profile,
        calibration_ns=None,
        lead_in_clicks=0,
    )
    ledger = Ledger(store)
    with store.explain_write_errors():
        number = ledger.write(RepsClosed(begun, found["reps"], ended, request.midi, whole=True))
        ledger.write(RunEnded(begun, IMPORTED, b""))
    return number


def judge_again(
    store: Store,
    player: int | None,
    tables: Tables,
    shelf: Shelf,
    now: WallTime,
    on_progress: Callable[[int, int], None],
) -> Again:
    """Judge every take in the history again, by the present judge; ``on_progress`` gets how many are done, of how many.

    A run whose drill, tune, standard or layout is not known any more keeps the results it has. Each run is one
    transaction: broken off in the middle, the rest is as it was.
    """
    with store.reading() as connection:
        drills = to_judge(connection, player, now)
        tunes = tune_runs_to_judge(connection, now, player=player)
        free = free_runs_to_judge(connection, player, now)
    judged, changed, left = 0, 0, list[str]()
    every: list[StoredRun | StoredTuneRun | StoredFreeRun] = [*drills, *tunes, *free]
    for number, stored in enumerate(every, 1):
        name = f"Run {_PREFIX[type(stored)]}{stored.run}"
        try:
            if isinstance(stored, StoredRun):
                differs = _drill_again(store, stored, tables, now)
            elif isinstance(stored, StoredFreeRun):
                differs = judge_free_again(store, stored, tables, now)
            else:
                differs = _tune_again(store, stored, shelf, tables, now)
            judged, changed = judged + 1, changed + differs
        except ChanterdError as error:
            left.append(f"{name} keeps its results: {error}")
        on_progress(number, len(every))
    return Again(judged, changed, tuple(left))


def _drill_again(store: Store, stored: StoredRun, tables: Tables, now: WallTime) -> bool:
    """Whether its results are others now."""
    with store.reading() as connection:
        take = parse_take(Path(f"run {stored.run}"), take_of(connection, stored.run))
        before = reps_of(connection, stored.run)
    results = _judged(stored, take, tables)
    with store.writing() as connection:
        replace(connection, stored.run, results, now)
    return results != before


def _tune_again(store: Store, stored: StoredTuneRun, shelf: Shelf, tables: Tables, now: WallTime) -> bool:
    """Whether other ornaments are clean now, or have other faults: times differ by what a take's ticks leave out."""
    with store.reading() as connection:
        before = result_of(connection, stored.run)
    after = judge_tune_again(store, stored, shelf, tables, now)
    return before is None or _said(before) != _said(after)


def _said(played: TunePlayed) -> list[tuple[int, int, str, list[str]]]:
    """What a player notices of it."""
    return [
        (
            one["note"],
            one["pass"],
            one["state"],
            [] if one["ornament"] is None else [fault["fault"] for fault in one["ornament"]["faults"]],
        )
        for one in played["notes"]
    ]


def _judged(stored: StoredRun, take: Take, tables: Tables) -> list[RepResult]:
    return whole(assess(take, stored.profile, resolve(stored.words, tables))["reps"], stored.reps)
