"""Everything that the progress view shows of a player and a span of days."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

from chanterd.config import ChanterdError, did_you_mean
from chanterd.hearing.simulated import DEMO
from chanterd.history import queries
from chanterd.history.answers import DayPractised, Overall, Span, Weakness
from chanterd.history.extent import first_day_of, inputs_of
from chanterd.history.held import held_by_tempo
from chanterd.history.players import Player
from chanterd.judging.standard import Standard
from chanterd.progress import on_beat
from chanterd.progress.downsample import (
    PlacementPoint,
    PracticePoint,
    TempoPoint,
    thin_placement,
    thin_practice,
    thin_tempo,
)
from chanterd.progress.free import FreeOrnament, days_with_free, free_over_time
from chanterd.progress.hand import HandOverTime, hand_of, tempo_words
from chanterd.progress.resolution import Grain, grain_of
from chanterd.progress.tunes import TuneOverTime, days_with_tunes, tunes_over_time
from chanterd.progress.words import weak_words

IN_A_ROW = 3
"""How many clean reps in a row hold a tempo by default: common practice (some set 5 or 10)."""


@dataclass(frozen=True, slots=True)
class Weak:
    """One of the ways that need practice most."""

    drill: str
    said: str
    click_bpm: float | None
    """The tempo to take it up at: the fastest held clean in the span. None if no tempo was held clean yet."""


@dataclass(frozen=True, slots=True)
class WayShown:
    """One ornament and way in over the span."""

    drill: str
    family: str
    days: int
    played: int
    clean: int
    first_day: str
    last_day: str
    fastest_clean_bpm: float | None


@dataclass(frozen=True, slots=True)
class WayOverTime:
    """The charts of one ornament and way in."""

    drill: str
    tempo: list[TempoPoint]
    placement: list[PlacementPoint]


@dataclass(frozen=True, slots=True)
class Progress:
    """What the view shows; ``practice`` is empty if nothing was played in the span."""

    player: int
    name: str
    began: str | None
    """The first day on which anything was ever played."""
    first_day: str | None
    """The days between which something was played."""
    last_day: str | None
    in_a_row: int
    on_beat_ms: float
    """How far from the beat a placement may be, to either side, to be called on the beat."""
    grain: Grain
    """The span of one point of the charts."""
    simulated: bool
    """Whether the simulated player played some of it."""
    days: int
    minutes: float
    played: int
    practice: list[PracticePoint]
    weakest: list[Weak]
    ways: list[WayShown]
    shown: WayOverTime | None
    hand: HandOverTime
    hand_at: str
    tunes: list[TuneOverTime]
    free: list[FreeOrnament]
    """What was played with nothing chosen, apart from tunes."""


def progress_of(
    connection: Connection,
    player: Player,
    span: Span,
    standards: Mapping[str, Standard],
    in_a_row: int = IN_A_ROW,
    drill: str | None = None,
) -> Progress:
    """The progress of a player; ``drill`` is the one whose charts to show; None means the one most practised.

    Raises ChanterdError if it was not practised in the span.
    """
    number = player.number
    drilled = queries.days_practised(connection, number, span)
    days = days_with_free(connection, number, span, days_with_tunes(connection, number, span, drilled))
    overall = queries.overall(connection, number, in_a_row, span)
    grain = grain_of(span.first or days[0].day, span.last or days[-1].day) if days else Grain.DAY
    chosen = _chosen(overall, drill)
    limit_ms = on_beat.on_beat_ms(connection, number, standards)
    hand = hand_of(held_by_tempo(connection, number, span))
    return Progress(
        player=number,
        name=player.name,
        began=first_day_of(connection, number),
        first_day=days[0].day if days else None,
        last_day=days[-1].day if days else None,
        in_a_row=in_a_row,
        on_beat_ms=limit_ms,
        grain=grain,
        simulated=DEMO in inputs_of(connection, number, span),
        days=len(days),
        minutes=_minutes(days),
        played=sum(day.played for day in days),
        practice=thin_practice(days, grain),
        weakest=weak_ones(queries.weakest(connection, number, span), overall, limit_ms),
        ways=[_shown(one) for one in overall],
        shown=None if chosen is None else _over_time(connection, number, span, in_a_row, chosen, grain),
        hand=hand,
        hand_at=tempo_words(hand),
        tunes=tunes_over_time(connection, number, span),
        free=free_over_time(connection, number, span),
    )


def weak_ones(weakest: Sequence[Weakness], overall: Sequence[Overall], on_beat_ms: float) -> list[Weak]:
    """The weakest, each with the reason and a tempo to start at; a way that was always clean is not weak."""
    held = {one.way: one.fastest_clean_bpm for one in overall}
    return [
        Weak(one.way.drill, weak_words(one, on_beat_ms), held.get(one.way)) for one in weakest if one.clean < one.played
    ]


def _minutes(days: Sequence[DayPractised]) -> float:
    return round(sum(day.minutes for day in days), 1)


def _chosen(overall: Sequence[Overall], drill: str | None) -> Overall | None:
    if drill is None:
        return max(overall, key=lambda one: (one.days, one.last_day, one.played), default=None)
    for one in overall:
        if one.way.drill.casefold() == drill.casefold():
            return one
    guess = did_you_mean(drill, [one.way.drill for one in overall])
    raise ChanterdError(f"'{drill}' was not practised in these days.{guess}")


def _over_time(
    connection: Connection, player: int, span: Span, in_a_row: int, chosen: Overall, grain: Grain
) -> WayOverTime:
    way = chosen.way
    return WayOverTime(
        drill=way.drill,
        tempo=thin_tempo(queries.fastest_by_day(connection, player, in_a_row, span, way), grain),
        placement=thin_placement(queries.placement_by_day(connection, player, span, way), grain),
    )


def _shown(one: Overall) -> WayShown:
    return WayShown(
        drill=one.way.drill,
        family=one.way.family,
        days=one.days,
        played=one.played,
        clean=one.clean,
        first_day=one.first_day,
        last_day=one.last_day,
        fastest_clean_bpm=one.fastest_clean_bpm,
    )
