"""Days of practice with what was played on them beside drills."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from chanterd.history.answers import DayPractised


def with_more(practised: Sequence[DayPractised], more: Iterable[tuple[str, int, float]]) -> list[DayPractised]:
    """The days with further runs and the minutes that went into them, in order; ornaments in these are no reps.

    ``more``: by day, as ISO text, how many runs and how many minutes.
    """
    found = {day.day: day for day in practised}
    for day, runs, minutes in more:
        before = found.get(day) or DayPractised(day, 0, 0, 0, 0, 0.0)
        found[day] = replace(before, runs=before.runs + runs, minutes=round(before.minutes + minutes, 1))
    return [found[day] for day in sorted(found)]
