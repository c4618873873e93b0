"""A tune in the report: how much of it was clean week by week, and its ornaments, then and now."""

from chanterd.progress.section import Section, Table
from chanterd.progress.tunes import TuneOrnament, TuneOverTime, TuneWeek
from chanterd.progress.words import clean_words, clicks, count, day_words

MOST_ORNAMENTS = 12
"""Rows of a tune's table: what went worst in its last week."""


def tune_section(tune: TuneOverTime) -> Section:
    """One tune under its title."""
    return Section(
        f"Tune: {tune.title}",
        tuple(tune_words(tune)),
        Table(
            ("Ornament", "first week", "last week"),
            tuple(_row(one) for one in tune.ornaments[:MOST_ORNAMENTS]),
        )
        if tune.ornaments
        else None,
    )


def tune_words(tune: TuneOverTime) -> list[str]:
    """How often and when it was played, and how much of it was clean in the first week and in the last."""
    first, last = tune.weeks[0], tune.weeks[-1]
    played = (
        f"Played on {count(tune.days, 'day')}, in {count(tune.runs, 'run')}, the last on {day_words(tune.last_day)}."
    )
    if first == last:
        return [played, f"{_share(last)} of its ornaments were clean, at {tempo_words(last)}."]
    then = (
        f"In the week of {day_words(first.day)}, {_share(first)} of its ornaments were clean, at {tempo_words(first)}"
    )
    return [played, f"{then}; in the week of {day_words(last.day)}, {_share(last)} at {tempo_words(last)}."]


def tempo_words(week: TuneWeek) -> str:
    """The tempo, or the slowest and the fastest."""
    slow, fast = clicks(round(week.slowest_bpm)), clicks(round(week.fastest_bpm))
    return f"{slow} clicks" if slow == fast else f"{slow} to {fast} clicks"


def _share(week: TuneWeek) -> str:
    return f"{round(100 * week.clean / week.ornaments)} %"


def _row(one: TuneOrnament) -> tuple[str, str, str]:
    now = clean_words(one.last_clean, one.last_played)
    return (one.drill, clean_words(one.first_clean, one.first_played) if one.weeks > 1 else "\N{EN DASH}", now)
