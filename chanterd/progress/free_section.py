"""Free playing in the report: how each ornament went with nothing chosen, then and now."""

from collections.abc import Sequence

from chanterd.progress.free import FreeOrnament
from chanterd.progress.section import Section, Table
from chanterd.progress.words import clean_words, count

MOST_ORNAMENTS = 12
"""Rows of the table: what went worst in its last week."""
HEADING = "Just played"
JUDGED = (
    "With nothing chosen and without a click: judged by shape only. What you played in your tunes is counted there."
)
DASH = "\N{EN DASH}"
COLUMNS = ("Ornament and way in", "first week", "last week", "held notes then", "now")


def free_section(ornaments: Sequence[FreeOrnament]) -> Section:
    """What was played, the ornament that went worst last first."""
    shown = ornaments[:MOST_ORNAMENTS]
    more = len(ornaments) - len(shown)
    said = (JUDGED, f"And {count(more, 'other', 'others')}.") if more else (JUDGED,)
    return Section(HEADING, said, Table(COLUMNS, tuple(map(_row, shown))))


def _row(one: FreeOrnament) -> tuple[str, ...]:
    now = clean_words(one.last_clean, one.last_played)
    if one.weeks == 1:
        return one.drill, DASH, now, DASH, _held(one.last_held_ms)
    then = clean_words(one.first_clean, one.first_played)
    return one.drill, then, now, _held(one.first_held_ms), _held(one.last_held_ms)


def _held(ms: float | None) -> str:
    return DASH if ms is None else f"{round(ms)} ms"
