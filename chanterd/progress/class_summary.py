"""A class afterwards: by player what is steady and what to practise next; for the band how close together it played.

Nobody is compared with anybody: players are listed in the order of their seats. Players who do not want their reps kept
are not in it.
"""

from collections.abc import Callable, Iterable, Sequence
from math import sqrt
from statistics import fmean

from pydantic import ConfigDict, with_config
from sqlalchemy import Connection
from typing_extensions import TypedDict

from chanterd.history.classes import AttendedRun, BandSeen, ClassSeen, attended, band_of, class_of
from chanterd.history.damage import read_reps
from chanterd.judging.summary import RunSoFar
from chanterd.judging.teacher import Next
from chanterd.music.drill import Drill
from chanterd.progress.report import CAUTIONS, Report
from chanterd.progress.resolution import Grain
from chanterd.progress.section import Section, Table
from chanterd.progress.words import clicks, count, day_words

NOBODY = "No player wanted their reps of this class kept."
NOTHING_NEXT = "Nothing needs special work."
READING = "How far apart: the root mean square of the spread of the onsets over the seats, in milliseconds; n - 1."


@with_config(ConfigDict(extra="forbid"))
class AttendedShown(TypedDict):
    """A player's part of a class."""

    player: int
    name: str
    seat: str
    played: int
    clean: int
    longest_row: int
    steady: list[str]
    unsteady: list[str]
    next: Next | None


@with_config(ConfigDict(extra="forbid"))
class TempoApart(TypedDict):
    """How far apart the band was at a tempo."""

    click_bpm: float
    reps: int
    apart_ms: float | None
    """On the beat; None if fewer than two seats ever played it."""


@with_config(ConfigDict(extra="forbid"))
class StepApart(TypedDict):
    """How far apart the band was on a step, over all tempi."""

    step: int
    note: str
    apart_ms: float | None


@with_config(ConfigDict(extra="forbid"))
class ClassSummary(TypedDict):
    """A class."""

    number: int
    day: str
    minutes: float
    drill: str
    over: bool
    reps: int
    players: list[AttendedShown]
    by_tempo: list[TempoApart]
    by_step: list[StepApart]


def class_summary(connection: Connection, number: int, drill_of: Callable[[str], Drill | None]) -> ClassSummary:
    """The summary of a class; ``drill_of`` reads a drill's words, None if it is no longer in the book.

    Raises ChanterdError if there is no such class.
    """
    seen, band = class_of(connection, number), band_of(connection, number)
    runs: dict[tuple[int, str], list[AttendedRun]] = {}
    for run in attended(connection, number):
        runs.setdefault((run.player, run.seat), []).append(run)
    return ClassSummary(
        number=seen.number,
        day=seen.day,
        minutes=seen.minutes,
        drill=seen.drill,
        over=seen.over,
        reps=len(band),
        players=[_player(connection, seen, played, drill_of) for played in runs.values()],
        by_tempo=_by_tempo(band),
        by_step=_by_step(band),
    )


def _player(
    connection: Connection, seen: ClassSeen, runs: Sequence[AttendedRun], drill_of: Callable[[str], Drill | None]
) -> AttendedShown:
    last = runs[-1]
    so_far = RunSoFar(drill_of(seen.drill), last.click_bpm)
    for run in runs:
        for rep in read_reps(connection, run.run)[0]:
            so_far.add({**rep, "rep": so_far.reps})
    summary = so_far.summary()
    remarks = summary["remarks"]
    return AttendedShown(
        player=last.player,
        name=last.name,
        seat=last.seat,
        played=summary["played"],
        clean=summary["clean"],
        longest_row=summary["longest_row"],
        steady=remarks["steady"],
        unsteady=remarks["unsteady"],
        next=remarks["next"],
    )


def _apart(spreads_ms: Iterable[float | None]) -> float | None:
    known = [one for one in spreads_ms if one is not None]
    return round(sqrt(fmean(one * one for one in known)), 1) if known else None


def _by_tempo(band: Sequence[BandSeen]) -> list[TempoApart]:
    tempi = sorted({rep.click_bpm for rep in band})
    by_tempo = {bpm: [rep.spread_ms for rep in band if rep.click_bpm == bpm] for bpm in tempi}
    return [TempoApart(click_bpm=bpm, reps=len(spreads), apart_ms=_apart(spreads)) for bpm, spreads in by_tempo.items()]


def _by_step(band: Sequence[BandSeen]) -> list[StepApart]:
    spreads: dict[tuple[int, str], list[float | None]] = {}
    for rep in band:
        for step in rep.steps:
            spreads.setdefault((step["step"], step["note"]), []).append(step["spread_ms"])
    return [StepApart(step=step, note=note, apart_ms=_apart(found)) for (step, note), found in sorted(spreads.items())]


def class_report(summary: ClassSummary) -> Report:
    """The summary as pages for a printer."""
    players = [_section(player) for player in summary["players"]] or [Section("Players", (NOBODY,))]
    return Report(
        title="Class report",
        player=0,
        name=summary["drill"],
        days=day_words(summary["day"]),
        first_day=None,
        last_day=None,
        grain=Grain.DAY,
        practice=(),
        sections=(_together(summary), *players, Section("Take care", CAUTIONS, listed=True)),
        notes=(READING,),
    )


def _section(player: AttendedShown) -> Section:
    played = f"{player['clean']} of {count(player['played'], 'rep')} clean, {player['longest_row']} in a row at most."
    following = player["next"]
    work = NOTHING_NEXT if following is None else following["said"]
    return Section(player["name"], (played, *player["steady"], *player["unsteady"], work))


def _together(summary: ClassSummary) -> Section:
    tempi = tuple(
        (f"at {clicks(one['click_bpm'])} clicks", count(one["reps"], "rep"), _ms(one["apart_ms"]))
        for one in summary["by_tempo"]
    )
    steps = tuple((f"step {one['step'] + 1}, {one['note']}", "", _ms(one["apart_ms"])) for one in summary["by_step"])
    said = f"{count(summary['reps'], 'rep')} of the band in {count(max(1, round(summary['minutes'])), 'minute')}."
    return Section("Together", (said,), Table(("The band", "", "apart"), (*tempi, *steps)))


def _ms(apart_ms: float | None) -> str:
    return "one player" if apart_ms is None else f"{apart_ms:.0f} ms"
