"""The results of the history's queries: frozen, and the same from either database.

Conventions: days are ISO text at the player's own place; deviations are + = late; ``_ns`` are wall clock in UTC.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Way:
    """An ornament and the way into it: the ornament, the note before and the theme note."""

    ornament: str
    lead: str
    theme: str
    family: str = ""
    drill: str = ""
    """In the trade's words, as ``POST /api/practice`` takes them."""


@dataclass(frozen=True, slots=True)
class Span:
    """The days from the first to the last, both included; None is open."""

    first: str | None = None
    last: str | None = None


ALWAYS = Span()


@dataclass(frozen=True, slots=True)
class RunSeen:
    """One run, as lists show it."""

    run: int
    began_ns: int
    utc_offset_s: int
    day: str
    until_ns: int
    """When its last rep was stored."""
    why: str | None
    """Why it ended; None if it is still going on, or was cut off."""
    way: Way
    stage: int | None
    click_bpm: float
    standard: str
    spread: float
    """The share of a click that a held step should take."""
    layout: str
    walks: bool
    """Up and down the scale: the way in changes from rep to rep."""
    mode: str | None
    rule: str | None
    reps: int
    played: int
    clean: int
    longest_row: int
    bias_ms: float | None
    spread_ms: float | None
    judged_ns: int | None


@dataclass(frozen=True, slots=True)
class TempoDay:
    """The fastest tempo held clean on a day: the most clicks a minute with a full row of clean reps."""

    way: Way
    day: str
    click_bpm: float


@dataclass(frozen=True, slots=True)
class PlacementDay:
    """Where the step on the beat fell on a day."""

    way: Way
    day: str
    heard: int
    played: int
    clean: int
    bias_ms: float | None
    spread_ms: float | None
    """None if no run of the day had two reps or more to measure it."""


@dataclass(frozen=True, slots=True)
class HandDay:
    """How long a family's steps were on a day; the same size in every family is an even hand."""

    family: str
    day: str
    played: int
    held_ms: float | None
    held_spread_ms: float | None
    quick_ms: float | None
    quick_spread_ms: float | None


@dataclass(frozen=True, slots=True)
class DayPractised:
    """One day of practice."""

    day: str
    runs: int
    played: int
    clean: int
    ways: int
    """How many different ornaments and ways in."""
    minutes: float
    """Time spent in runs, from the start to the last rep that was played."""


@dataclass(frozen=True, slots=True)
class Weakness:
    """One ornament and way in over a span: one of those that need practice most."""

    way: Way
    played: int
    clean: int
    days: int
    last_day: str
    bias_ms: float | None
    spread_ms: float | None
    fastest_bpm: float
    """The fastest tempo tried in the span."""

    @property
    def clean_share(self) -> float:
        """From 0 to 1."""
        return self.clean / self.played


@dataclass(frozen=True, slots=True)
class Overall:
    """One ornament and way in, over everything that was played of it."""

    way: Way
    runs: int
    played: int
    clean: int
    days: int
    first_day: str
    last_day: str
    fastest_clean_bpm: float | None
    """The most clicks a minute with a full row of clean reps, ever."""
