"""Assessing for the history: an imported take, or every take in the history, by the present judge."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from chanterd.assessing.assess import Assessment, assess
from chanterd.assessing.request import Request
from chanterd.config import ChanterdError
from chanterd.hearing.take import Take, parse_take
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.queries import reps_of
from chanterd.history.record import RepsClosed, RunBegun, RunEnded
from chanterd.history.rejudged import StoredRun, replace, to_judge, whole
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from chanterd.history.wall_clock import WallTime
from chanterd.judging.report import RepResult
from chanterd.practice.exercise import resolve
from chanterd.tables import Tables

IMPORTED = "imported"
"""Why an imported run ended, and what its input is called."""


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
    store: Store, player: int | None, tables: Tables, now: WallTime, on_progress: Callable[[int, int], None]
) -> Again:
    """Judge every take in the history again, by the present judge; ``on_progress`` gets how many are done, of how many.

    A run whose drill, standard or layout is not known any more keeps the results it has. Each run is one transaction:
    broken off in the middle, the rest is as it was.
    """
    with store.reading() as connection:
        runs = to_judge(connection, player, now)
    judged, changed, left = 0, 0, list[str]()
    for number, stored in enumerate(runs, 1):
        try:
            with store.reading() as connection:
                take = parse_take(Path(f"run {stored.run}"), take_of(connection, stored.run))
                before = reps_of(connection, stored.run)
            results = _judged(stored, take, tables)
            with store.writing() as connection:
                replace(connection, stored.run, results, now)
            judged, changed = judged + 1, changed + (results != before)
        except ChanterdError as error:
            left.append(f"Run {stored.run} keeps its results: {error}")
        on_progress(number, len(runs))
    return Again(judged, changed, tuple(left))


def _judged(stored: StoredRun, take: Take, tables: Tables) -> list[RepResult]:
    return whole(assess(take, stored.profile, resolve(stored.words, tables))["reps"], stored.reps)
