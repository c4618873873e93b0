"""Figures in a teacher's words. Days are ISO text; deviations in ms, + = late."""

from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # every command needs these words, few need the history
    from chanterd.history.answers import Weakness

MINUTES = 60


def day_words(day: str) -> str:
    """As in "3 November 2026"."""
    at = date.fromisoformat(day)
    return f"{at.day} {at:%B} {at.year}"


def span_words(first: str, last: str) -> str:
    """From day to day, the year said once if it is the same."""
    if first == last:
        return day_words(first)
    one, other = date.fromisoformat(first), date.fromisoformat(last)
    begin = day_words(first) if one.year != other.year else f"{one.day} {one:%B}"
    return f"{begin} to {day_words(last)}"


def count(number: int, one: str, many: str | None = None) -> str:
    """A number of things: "1 day", "2 days"."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"


def time_words(minutes: float) -> str:
    """A length of time: "25 min", "6 h 40 min", "2 h"."""
    whole = round(minutes)
    if whole < MINUTES:
        return f"{whole} min"
    rest = f" {whole % MINUTES} min" if whole % MINUTES else ""
    return f"{whole // MINUTES} h{rest}"


def clicks(bpm: float) -> str:
    """A tempo without its unit, and with no more decimals than it needs."""
    return f"{round(bpm, 1):g}"


def place(bias_ms: float, on_beat_ms: float) -> str:
    """Where the step on the beat usually falls: "52 ms late", "on the beat" up to the limit."""
    if abs(bias_ms) <= on_beat_ms:
        return "on the beat"
    return f"{abs(bias_ms):.0f} ms {'late' if bias_ms > 0 else 'early'}"


def lowered(words: str) -> str:
    """With a small first letter, for the middle of a sentence: "throws on D"."""
    return words[:1].lower() + words[1:]


def clean_words(clean: int, played: int) -> str:
    """How many reps were clean."""
    return f"{clean} of {played} clean"


def weak_words(weak: "Weakness", on_beat_ms: float) -> str:
    """Why a way is among those that need practice most."""
    parts = [clean_words(weak.clean, weak.played)]
    if weak.bias_ms is not None:
        where = place(weak.bias_ms, on_beat_ms)
        parts.append(f"usually {where}" if weak.spread_ms is None else f"usually {where}, ± {round(weak.spread_ms)} ms")
    return ", ".join(parts) + "."
