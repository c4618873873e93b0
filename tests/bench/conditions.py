"""The conditions under which following is measured: what the simulated players do, and how often.

All of it is simulated and most of it is far worse than anybody plays: the point is to see what breaks. The figures are
inventions of ours, except that delays between fingers of tens of ms are real (Almeida et al. 2009, on flute).
"""

from dataclasses import dataclass, replace
from typing import Literal

Drift = Literal["steady", "wander", "fast"]


@dataclass(frozen=True, slots=True)
class Condition:
    """What a simulated player does; chances from 0 to 1, times in ms, deviations + = late."""

    name: str
    said: str
    step_sd_ms: float = 3.0
    """The fingers: standard deviation of each onset's own delay."""
    beat_sd_ms: float = 5.0
    """The timekeeper: standard deviation of what each beat adds to the error; the next takes half of it back."""
    bias_ms: float = 0.0
    """How early or late the player is steadily; the sign is drawn for each performance."""
    drift: Drift = "steady"
    """``wander``: the player's own tempo swings slowly by 10 % around the click, and the phase by up to 0.45 reps
    (bias and noise taken off, so that it stays below half a rep).
    ``fast``: 2 % fast for 20 reps, which gains 0.4 reps, then 10 % slow for 4 reps, and again."""
    crossing: float = 0.0
    """Chance of a crossing noise, for each change that moves two fingers or more."""
    missing: float = 0.0
    """Chance that a rep lacks one of the steps before its theme note."""
    wrong: float = 0.0
    """Chance that one of those steps is another note."""
    doubled: float = 0.0
    """Chance that a rep's ornament is played twice before the theme note."""
    restart: float = 0.0
    """Chance that a rep's ornament is broken off and begun again."""
    skipped: float = 0.0
    """Chance that a whole rep is left out."""
    late_entry: float = 0.0
    """Chance that the player comes in only after 2 to 6 reps."""
    bounce: float = 0.0
    """Chance, for each onset, that the electronics send it twice."""
    overlap: float = 0.0
    """Chance, for each note, that it is let go only after the next one has begun."""


CLEAN = Condition("clean", "a good player: 3 ms a step, 5 ms a beat")
_CROSSING = 0.25
_MIXED = Condition(
    "all mixed",
    "8 ms a step, 15 ms a beat, 80 ms of bias, and all of the faults",
    step_sd_ms=8.0,
    beat_sd_ms=15.0,
    bias_ms=80.0,
    crossing=0.15,
    missing=0.1,
    wrong=0.06,
    doubled=0.03,
    restart=0.04,
    skipped=0.05,
    late_entry=0.2,
    bounce=0.03,
    overlap=0.3,
)

CONDITIONS = (
    CLEAN,
    replace(CLEAN, name="crossing noises", said="4 to 40 ms at one wide change in four", crossing=_CROSSING),
    replace(CLEAN, name="missing steps", said="one step of every fourth rep", missing=0.25),
    replace(CLEAN, name="wrong notes", said="one step of every fourth rep", wrong=0.25),
    replace(CLEAN, name="doubled ornaments", said="every fifth ornament is played twice", doubled=0.2),
    replace(CLEAN, name="restarts", said="every fifth ornament is broken off and begun again", restart=0.2),
    replace(CLEAN, name="reps skipped", said="every seventh rep is left out", skipped=0.15),
    replace(CLEAN, name="late entry", said="the first 2 to 6 reps are left out", late_entry=1.0),
    replace(CLEAN, name="tempo wanders", said="10 % around the click, up to 0.45 reps off", drift="wander"),
    replace(CLEAN, name="tempo 2 % fast", said="for 20 reps, then caught up in 4", drift="fast"),
    replace(CLEAN, name="bias", said="80 ms early or late", bias_ms=80.0),
    replace(CLEAN, name="bias, reps skipped", said="80 ms; every seventh rep is left out", bias_ms=80.0, skipped=0.15),
    replace(CLEAN, name="noise", said="12 ms a step, 35 ms a beat", step_sd_ms=12.0, beat_sd_ms=35.0),
    replace(CLEAN, name="bounces", said="one onset in five comes twice", bounce=0.2),
    replace(CLEAN, name="overlapping notes", said="two in three", overlap=0.66),
    _MIXED,
    replace(
        _MIXED,
        name="roughest",
        said="the same twice as often, 12 ms a step, 35 ms a beat, tempo wandering",
        step_sd_ms=12.0,
        beat_sd_ms=35.0,
        drift="wander",
        crossing=0.25,
        missing=0.2,
        wrong=0.12,
        doubled=0.06,
        restart=0.08,
        skipped=0.1,
        late_entry=0.4,
        bounce=0.05,
        overlap=0.5,
    ),
)
