"""Whether a hand is even: whether steps of one kind are as long in one family of ornaments as in another.

The short C inside a doubling should last about as long as the low Gs of a taorluath in the same tune (common practice,
no source). Families are compared at about one tempo, since steps shrink as the tempo rises. The one judge of it is
:func:`is_even`, for the last few runs as for months of practice. Pure; lengths in ms.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import median
from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.limit import HEARD
from chanterd.judging.report import STRICT, RepResult
from chanterd.judging.robust import standard_error

SAME_TEMPO = 0.15
"""Runs at tempi that differ by no more than this share are compared."""
APART_MS = 2 * HEARD.within_ms
"""Families this near sound alike: a note out of place by what can be heard makes two lengths differ by twice that."""
FEWEST_FAMILIES = 2
"""A family alone has nothing to be even with."""

KindName = Literal["held", "quick"]


@dataclass(frozen=True, slots=True)
class StepSize:
    """How long the steps of one kind are in one family."""

    family: str
    middle_ms: float
    error_ms: float
    """Twice the standard error of the middle; 0 if it rests on very many reps."""


def is_even(sizes: Sequence[StepSize]) -> bool | None:
    """Whether shortest and longest are no farther apart than can be heard, or than chance would have them.

    None: fewer than two families.
    """
    if len(sizes) < FEWEST_FAMILIES:
        return None
    shortest, longest = extremes(sizes)
    chance = sqrt(shortest.error_ms**2 + longest.error_ms**2)
    return longest.middle_ms - shortest.middle_ms <= max(APART_MS, chance)


def extremes(sizes: Sequence[StepSize]) -> tuple[StepSize, StepSize]:
    """The family with the shortest steps and the one with the longest. Raises ValueError if there is none."""
    return min(sizes, key=lambda one: one.middle_ms), max(sizes, key=lambda one: one.middle_ms)


@dataclass(frozen=True, slots=True)
class RunPlayed:
    """One run, as it is compared."""

    family: str
    """The ornament's name."""
    click_bpm: float
    lengths_ms: Mapping[KindName, Sequence[float]]
    """Of all its steps of each kind: whole reps would be kept for hours in a class."""


def run_played(family: str, click_bpm: float, reps: Iterable[RepResult]) -> RunPlayed:
    """What is compared of a run with those reps."""
    shapes = [rep["shape"] for rep in reps]
    lengths_ms: dict[KindName, Sequence[float]] = {
        kind: [length for shape in shapes for length in shape[kind]["lengths_ms"]] for kind in NAMES
    }
    return RunPlayed(family, click_bpm, lengths_ms)


@with_config(STRICT)
class HandRemarks(TypedDict):
    """Sentences for the player."""

    steady: list[str]
    """About kinds of step that are alike in every family."""
    unsteady: list[str]
    """And about those that are not."""


NAMES: dict[KindName, str] = {"held": "held notes", "quick": "gracenotes and taps"}


def hand_remarks(runs: Sequence[RunPlayed]) -> HandRemarks:
    """About the runs at about the tempo of the last one; nothing of kinds of which fewer than two families are sure."""
    near = [run for run in runs if abs(run.click_bpm / runs[-1].click_bpm - 1) <= SAME_TEMPO]
    found = HandRemarks(steady=[], unsteady=[])
    for kind, name in NAMES.items():
        sizes = sure_sizes(near, kind)
        even = is_even(sizes)
        if even is None:
            continue
        shortest, longest = extremes(sizes)
        if even:
            found["steady"].append(f"Your {name} are about {shortest.middle_ms:.0f} ms in every ornament.")
        else:
            found["unsteady"].append(
                f"Your {name} last {longest.middle_ms:.0f} ms in the {longest.family} and only "
                f"{shortest.middle_ms:.0f} ms in the {shortest.family}: make them alike."
            )
    return found


def sure_sizes(runs: Iterable[RunPlayed], kind: KindName) -> list[StepSize]:
    """The families whose steps of that kind are known to what can be heard, in order of playing."""
    lengths: dict[str, list[float]] = {}
    for run in runs:
        if run.lengths_ms[kind]:
            lengths.setdefault(run.family, []).extend(run.lengths_ms[kind])
    errors = {family: standard_error(known) for family, known in lengths.items()}
    return [
        StepSize(family, median(lengths[family]), 2 * error)
        for family, error in errors.items()
        if error is not None and 2 * error < APART_MS
    ]
