"""What the simulated player does well and badly, and the truth about what it did. All of it is simulated."""

from dataclasses import dataclass, replace
from typing import Literal

from chanterd.music.note import Note
from chanterd.music.units import Ns

ExtraKind = Literal["crossing noise", "bounce"]


@dataclass(frozen=True, slots=True)
class Habits:
    """A way of playing; the default is a machine without any habit.

    Lengths are in ms, deviations + = late, chances from 0 to 1. Steps are the short notes of an ornament.
    """

    bias_ms: float = 0.0
    """Steadily late (+) or early (-)."""
    settles_ms: float = 0.0
    """How much later than that the first rep is; half of it is left after every four reps."""
    beat_sd_ms: float = 0.0
    """The timekeeper: standard deviation of what each beat adds to the player's own error."""
    correction: float = 0.5
    """The share of the last beat's error that is taken back by the next one, while a click is heard."""
    hurry: float = 0.0
    """By what share the player's own tempo is faster (+) than the click's was, while no click is heard."""
    step_sd_ms: float = 0.0
    """The fingers: standard deviation of each onset's own delay."""
    crushed: float = 0.0
    """Chance that a rep's last step before the theme note is too late to be heard."""
    missing: float = 0.0
    """Chance that one step of a rep is not played."""
    wrong: float = 0.0
    """Chance that one step of a rep is another note."""
    wind_up: float = 0.0
    """Chance that the player hesitates before the ornament."""
    skipped: float = 0.0
    """Chance that a whole rep is left out; below 1, or the player never plays at all."""
    crossing: float = 0.0
    """Chance of a crossing noise at each change that moves two fingers or more."""
    bounce: float = 0.0
    """Chance that the electronics send a note twice."""
    overlap: float = 0.0
    """Chance that a note is released only after the next one has begun."""


GOOD = Habits(
    bias_ms=11.0,
    beat_sd_ms=7.0,
    hurry=0.01,
    step_sd_ms=4.0,
    crushed=0.16,
    missing=0.06,
    wrong=0.05,
    wind_up=0.03,
    skipped=0.02,
    crossing=0.04,
    bounce=0.02,
    overlap=0.3,
)
"""A mostly good player, a little late: invented, to make the page worth looking at."""


SURE = replace(GOOD, bias_ms=4.0, beat_sd_ms=5.0, step_sd_ms=3.0, crushed=0.03, missing=0.01, wrong=0.01)

CLASS: tuple[tuple[str, Habits], ...] = (
    ("Isla", SURE),
    ("Tomas", replace(SURE, bias_ms=-62.0)),
    ("Ewan", replace(GOOD, crushed=0.7)),
    ("Mirren", replace(SURE, settles_ms=160.0)),
    ("Joana", replace(SURE, bias_ms=54.0)),
    ("Rory", replace(GOOD, beat_sd_ms=38.0, correction=0.7)),
    ("Ailsa", SURE),
    ("Bram", replace(GOOD, wind_up=0.5)),
    ("Catriona", replace(GOOD, missing=0.35)),
    ("Dougal", replace(GOOD, crossing=0.5)),
    ("Effie", replace(SURE, step_sd_ms=14.0)),
    ("Fergus", replace(GOOD, skipped=0.3)),
)
"""A class of simulated players: sure ones, one always early, one crushing, one slow to settle, … Invented."""


@dataclass(frozen=True, slots=True)
class Played:
    """One onset as it truly was meant."""

    at_ns: Ns
    """From beat 0."""
    note: Note
    step: int | None
    """Which of the cue's notes it is meant to be, from 0 (the lead); None: none of them."""
    extra: ExtraKind | None = None
    """Set if and only if ``step`` is None."""


@dataclass(frozen=True, slots=True)
class Truth:
    """What really happened in one rep, for tests and benchmarks only: nothing that listens may see it.

    A step with no onset was left out, or could not sound because it equals the note sounding before it.
    """

    rep: int
    """From 0."""
    onsets: tuple[Played, ...]
    """In order of time."""
