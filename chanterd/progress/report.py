"""A report of a span of days, as a teacher could hand it out: its words and tables, whatever prints them.

It compares a player with nobody but themselves.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from sqlalchemy import Connection

from chanterd.hearing.simulated import DEMO
from chanterd.history import queries
from chanterd.history.answers import DayPractised, Overall, PlacementDay, Span, TempoDay, Way
from chanterd.history.extent import inputs_of
from chanterd.history.held import held_by_tempo
from chanterd.history.players import Player
from chanterd.judging.standard import Standard
from chanterd.progress.better import better
from chanterd.progress.downsample import PracticePoint, thin_practice
from chanterd.progress.free import days_with_free, free_over_time
from chanterd.progress.free_section import free_section
from chanterd.progress.hand import hand_of
from chanterd.progress.on_beat import on_beat_ms
from chanterd.progress.progress import weak_ones
from chanterd.progress.resolution import Grain, days_between, grain_of
from chanterd.progress.section import Section, Table
from chanterd.progress.tune_section import tune_section
from chanterd.progress.tunes import days_with_tunes, tunes_over_time
from chanterd.progress.words import clicks, count, place, span_words, time_words

MOST_NEXT = 3
"""Items under "What to work at next": more than a few at a time are too many (common practice, no source)."""
MOST_TUNES = 5
"""Tunes that are reported, those that were played last."""
MOST_WAYS = 25
"""Rows of the table of what was practised; the most practised ones."""
SAME = "\N{EN DASH}"
"""Shown where there is no change worth mentioning."""
NOTHING = "Nothing was practised in these days."
ONLY_STAGES = "Stages of a build-up. Figures appear once you play the full ornament."
CAUTIONS = (
    "Take a break every half hour, and raise the time you practise little by little.",
    "Stop if it hurts or feels tense, and rest. If it does not pass, ask a doctor who knows musicians.",
    "Keep the click quieter than the chanter, above all in headphones.",
    "These figures help your ear; they are no judgement. Your teacher has the last word.",
)
READING = (
    "Clean: every step was there, even and on the beat, within the limits chosen for the practice.",
    "On the beat: how far the step on the beat usually was from the click; ± is how much that varied.",
)
SIMULATED = "Simulated: the simulated player, not a person, played some of this."


@dataclass(frozen=True, slots=True)
class Report:
    """A whole report; nothing in it names anybody but the player."""

    title: str
    player: int
    name: str
    days: str
    first_day: str | None
    """The first and last day of the chart."""
    last_day: str | None
    grain: Grain
    practice: tuple[PracticePoint, ...]
    sections: tuple[Section, ...]
    notes: tuple[str, ...]
    """How to read it, in small print."""


def report_of(
    connection: Connection, player: Player, span: Span, standards: Mapping[str, Standard], in_a_row: int
) -> Report:
    """The report about a player and a span of days."""
    number = player.number
    drilled = queries.days_practised(connection, number, span)
    days = days_with_free(connection, number, span, days_with_tunes(connection, number, span, drilled))
    first, last = (span.first or days[0].day, span.last or days[-1].day) if days else (span.first, span.last)
    simulated = (SIMULATED,) if DEMO in inputs_of(connection, number, span) else ()
    limit_ms = on_beat_ms(connection, number, standards)
    grain = grain_of(first, last) if first is not None and last is not None else Grain.DAY
    return Report(
        title="Practice report",
        player=number,
        name=player.name,
        days=_days_words(first, last),
        first_day=first,
        last_day=last,
        grain=grain,
        practice=tuple(thin_practice(days, grain)),
        sections=_sections(connection, number, span, in_a_row, days, limit_ms)
        if days
        else (Section("Practice", (NOTHING,)),),
        notes=(*simulated, *READING),
    )


def _days_words(first: str | None, last: str | None) -> str:
    if first is not None and last is not None:
        return span_words(first, last)
    if first is not None:
        return f"since {span_words(first, first)}"
    return "" if last is None else f"until {span_words(last, last)}"


def _sections(
    connection: Connection, number: int, span: Span, in_a_row: int, days: Sequence[DayPractised], limit_ms: float
) -> tuple[Section, ...]:
    overall = queries.overall(connection, number, in_a_row, span)
    tempo = _by_way(queries.fastest_by_day(connection, number, in_a_row, span))
    placement = _by_way(queries.placement_by_day(connection, number, span))
    hand = hand_of(held_by_tempo(connection, number, span))
    tunes, free = tunes_over_time(connection, number, span), free_over_time(connection, number, span)
    weak = weak_ones(queries.weakest(connection, number, span, MOST_NEXT), overall, limit_ms)
    return (
        Section("Days practised", (_practised(days, span),)),
        *_drilled(days, overall, placement, in_a_row, limit_ms),
        *map(tune_section, tunes[:MOST_TUNES]),
        *([free_section(free)] if free else []),
        _better(overall, tempo, placement, limit_ms),
        Section("An even hand", (hand.said,)),
        Section(
            "What to work at next",
            tuple(
                f"{one.drill}: {one.said}"
                + ("" if one.click_bpm is None else f" Take it up at {clicks(one.click_bpm)} clicks.")
                for one in weak
            )
            or ("Nothing needs special work. Keep up what you have, and ask your teacher for something new.",),
            listed=True,
        ),
        Section("Take care", CAUTIONS, listed=True),
    )


def _practised(days: Sequence[DayPractised], span: Span) -> str:
    minutes = sum(day.minutes for day in days)
    of = days_between(span.first or days[0].day, span.last or days[-1].day)
    each = time_words(minutes / len(days))
    said = (
        f"{len(days)} of {count(of, 'day')}, {time_words(minutes)} of playing in all, about {each} on a day with "
        "practice"
    )
    reps = sum(day.played for day in days)
    return f"{said}; {count(reps, 'rep')}, {sum(day.clean for day in days):,} of them clean." if reps else f"{said}."


def _drilled(
    days: Sequence[DayPractised],
    overall: Sequence[Overall],
    placement: dict[Way, list[PlacementDay]],
    in_a_row: int,
    limit_ms: float,
) -> Iterator[Section]:
    """What was practised as drills, if anything was."""
    if any(day.played for day in days):
        yield _what(overall, placement, in_a_row, limit_ms)


def _what(
    overall: Sequence[Overall], placement: dict[Way, list[PlacementDay]], in_a_row: int, limit_ms: float
) -> Section:
    if not overall:
        return Section("What was practised", (ONLY_STAGES,))
    chosen = sorted(overall, key=lambda one: (-one.played, one.way.drill))[:MOST_WAYS]
    more = len(overall) - len(chosen)
    return Section(
        "What was practised",
        (f"And {count(more, 'other', 'others')}.",) if more else (),
        Table(
            ("Ornament and way in", "days", "clean", f"{in_a_row} in a row at", "on the beat"),
            tuple(
                (
                    one.way.drill,
                    str(one.days),
                    f"{one.clean} of {one.played}",
                    "not yet" if one.fastest_clean_bpm is None else f"{clicks(one.fastest_clean_bpm)} clicks",
                    _last_place(placement.get(one.way, []), limit_ms),
                )
                for one in chosen
            ),
        ),
    )


def _last_place(days: Sequence[PlacementDay], limit_ms: float) -> str:
    heard = [day for day in days if day.bias_ms is not None]
    if not heard:
        return "not heard"
    bias, spread = heard[-1].bias_ms or 0.0, heard[-1].spread_ms
    where = place(bias, limit_ms)
    return where if spread is None else f"{where}, ± {round(spread)} ms"


def _better(
    overall: Sequence[Overall],
    tempo: dict[Way, list[TempoDay]],
    placement: dict[Way, list[PlacementDay]],
    limit_ms: float,
) -> Section:
    found = [(one.way.drill, better(tempo.get(one.way, []), placement.get(one.way, []), limit_ms)) for one in overall]
    rows = [(drill, got.tempo or SAME, got.placement or SAME, got.spread or SAME) for drill, got in found if got.any]
    if not rows:
        return Section(
            "What got better",
            ("These days are too few to show a change; choose a longer span.",),
        )
    columns = ("Ornament and way in", "tempo held clean", "on the beat", "varied by")
    return Section("What got better", (), Table(columns, tuple(rows)))


_Day = TypeVar("_Day", TempoDay, PlacementDay)


def _by_way(days: Sequence[_Day]) -> dict[Way, list[_Day]]:
    found: dict[Way, list[_Day]] = defaultdict(list)
    for day in days:
        found[day.way].append(day)
    return found
