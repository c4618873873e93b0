"""Assessing for the history: a take that is imported, and all takes that are kept, with the present judge."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from chanterd.assessing.assess import Assessment, assess
from chanterd.assessing.request import Asked
from chanterd.config import ChanterdError
from chanterd.hearing.take import Take, parse_take
from chanterd.history.history import CLICK_OFF
from chanterd.history.ledger import Ledger
from chanterd.history.players import Player
from chanterd.history.queries import reps_of
from chanterd.history.record import RepsClosed, RunBegun, RunEnded
from chanterd.history.rejudged import Asked as AskedThen
from chanterd.history.rejudged import replace, to_judge, whole
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from chanterd.history.wall_clock import Wall
from chanterd.judging.report import RepResult
from chanterd.judging.standard import find_standard
from chanterd.music.drill import drill_from_words
from chanterd.music.grid import click_bpm
from chanterd.music.layout import find_layout
from chanterd.music.timetable import spread_asked
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


def keep_take(store: Store, player: Player, name: str, asked: Asked, found: Assessment, ended: Wall) -> int:
    """Keep an assessed take of theirs, with the file as it is; the number of the new run.

    ``name`` is the file's; ``ended`` is when the playing did. Raises ChanterdError if it cannot be written.
    """
    begun = RunBegun(
        key=uuid4().hex,
        player=player.number,
        wall=Wall(ended.ns - asked.take.messages[-1][1], ended.utc_offset_s),
        drill=asked.drill,
        click_bpm=asked.click_bpm,
        standard=asked.standard.name,
        spread=asked.spread.held_of_click,
        layout=asked.layout.name,
        walks=len(asked.sequence) > 1,
        mode=CLICK_OFF if asked.click_off else None,
        rule=None,
        input=f"{IMPORTED}: {name}",
        profile=asked.profile,
        calibration_ns=None,
        lead_in_clicks=0,
    )
    ledger = Ledger(store)
    with store.told_of_writing():
        number = ledger.write(RepsClosed(begun, found["reps"], ended, asked.midi, whole=True))
        ledger.write(RunEnded(begun, IMPORTED, b""))
    return number


def judge_again(store: Store, player: int | None, tables: Tables, now: Wall, told: Callable[[int, int], None]) -> Again:
    """Judge every take that is kept by the present judge; ``told``: how many are done, of how many.

    A run whose drill, standard or layout is not known any more keeps the results it has. Each run is one transaction:
    broken off in the middle, the rest is as it was.
    """
    with store.reading() as connection:
        runs = to_judge(connection, player, now)
    judged, changed, left = 0, 0, list[str]()
    for number, asked in enumerate(runs, 1):
        try:
            with store.reading() as connection:
                take = parse_take(Path(f"run {asked.run}"), take_of(connection, asked.run))
                before = reps_of(connection, asked.run)
            results = _judged(asked, take, tables)
            with store.writing() as connection:
                replace(connection, asked.run, results, now)
            judged, changed = judged + 1, changed + (results != before)
        except ChanterdError as error:
            left.append(f"Run {asked.run} keeps its results: {error}")
        told(number, len(runs))
    return Again(judged, changed, tuple(left))


def _judged(asked: AskedThen, take: Take, tables: Tables) -> list[RepResult]:
    found = assess(
        take,
        asked.profile,
        drill_from_words(asked.drill, tables.book),
        click_bpm(asked.click_bpm),
        find_standard(asked.standard, tables.standards),
        spread_asked(asked.spread),
        find_layout(asked.layout, tables.layouts),
        click_off=asked.mode == CLICK_OFF,
    )
    return whole(found["reps"], asked.reps)
