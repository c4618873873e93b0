"""Assessing for the history: a take that is imported, and all takes that are kept, with the present judge."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from uuid import uuid4

from chanterd.assess import assess, profile_for, tempo_of
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import find_profile
from chanterd.hearing.take import Take, parse_take, read_take
from chanterd.history.again import Asked, replace, to_judge, whole
from chanterd.history.history import CLICK_OFF
from chanterd.history.ledger import Ledger
from chanterd.history.players import Person
from chanterd.history.queries import reps_of
from chanterd.history.record import RepsClosed, RunBegun, RunEnded
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from chanterd.history.wall import Wall
from chanterd.judging.report import RepResult
from chanterd.judging.standard import find_standard
from chanterd.serving.tables import Tables
from chanterd.trade.course import make_course
from chanterd.trade.drill import drill_from_words
from chanterd.trade.grid import click_bpm
from chanterd.trade.layout import find_layout
from chanterd.trade.timetable import spread_asked

IMPORTED = "imported"
"""Why an imported run ended, and what its input is called."""


@dataclass(frozen=True, slots=True)
class Imported:
    """What a take was asked, in words; None: what ships, or what fits."""

    drill: str
    click: object
    standard: str
    chanter: str | None
    spread: object
    layout: str | None


@dataclass(frozen=True, slots=True)
class Again:
    """What came of judging everything again."""

    judged: int
    changed: int
    """Runs whose results are others now."""
    left: tuple[str, ...]
    """Why a run was left as it was, a sentence each."""


def import_take(store: Store, path: Path, person: Person, wanted: Imported, tables: Tables, wall: Wall) -> int:
    """Assess a take and keep it, with the file as it is; the number of the new run.

    ``wall`` is when it was played. Raises ChanterdError if anything asked is not understood, or it is no take.
    """
    drill, level = drill_from_words(wanted.drill, tables.book), find_standard(wanted.standard, tables.standards)
    bpm = None if wanted.click is None else click_bpm(wanted.click)
    hand, lay = spread_asked(wanted.spread), find_layout(wanted.layout, tables.layouts)
    take = read_take(path)
    bpm = tempo_of(take) if bpm is None else bpm
    course = make_course(drill, bpm, hand, lay)
    turns = [one.drill for one in course.timetables]
    profile = (
        profile_for(take, tables.profiles, turns)
        if wanted.chanter is None
        else find_profile(wanted.chanter, tables.profiles)
    )
    found = assess(take, profile, drill, bpm, level, hand, lay)
    begun = RunBegun(
        key=uuid4().hex,
        player=person.number,
        wall=wall,
        drill=drill,
        click_bpm=bpm,
        standard=level.name,
        spread=hand.held_of_click,
        layout=lay.name,
        walks=course.changes,
        mode=None,
        rule=None,
        input=f"{IMPORTED}: {path.name}",
        profile=profile,
        calibration_ns=None,
        lead_in_clicks=0,
    )
    ledger = Ledger(store)
    with store.told_of_writing():
        number = ledger.write(RepsClosed(begun, found["reps"], wall, path.read_bytes(), whole=True))
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


def _judged(asked: Asked, take: Take, tables: Tables) -> list[RepResult]:
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
