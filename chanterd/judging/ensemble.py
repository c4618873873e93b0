"""How close together a band plays one exercise: for each step where the players' onsets fall, and how far they spread.

Goal: what a class sees of itself as one instrument. Nothing here names a player, and nothing ranks them.

Conventions: times are ms from the ornament's own beat, + = after it. ``spread`` is the sample standard deviation over
seats (n - 1), None below two of them. ``together`` is the root mean square of the beat's spread over the last reps that
have one: so Rasch states the asynchrony of an ensemble (R. A. Rasch, "Synchronization in performed ensemble music",
Acustica 43, 1979; from memory, by a later thesis that quotes it).
"""

from collections import deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean, median, stdev

from chanterd.judging.report import RepResult

REPS_TOGETHER = 8
"""How many reps say how close together a band is: one slip does not decide it, and a change shows soon."""


@dataclass(frozen=True, slots=True)
class OnsetSpread:
    """Where the onsets of one step fell."""

    seats: int
    """How many played it."""
    middle_ms: float | None
    """The median over seats; None if nobody played it."""
    spread_ms: float | None


@dataclass(frozen=True, slots=True)
class StepSpread:
    """One step of the exercise, as the band played it."""

    step: int
    note: str
    onsets: Mapping[str, float]
    """By seat."""
    spread: OnsetSpread


@dataclass(frozen=True, slots=True)
class BandRep:
    """One rep of a class."""

    rep: int
    seats: int
    """How many played any step of it."""
    steps: tuple[StepSpread, ...]
    beat: OnsetSpread
    """The step that belongs on the beat."""
    together_ms: float | None
    """Over the last reps, this one included; None until one has been played by two seats."""


class Ensemble:
    """Keeps what is needed of the last reps of a class."""

    def __init__(self) -> None:
        """Begin with no rep."""
        self._spreads: deque[float] = deque(maxlen=REPS_TOGETHER)

    def take(self, rep: int, results: Mapping[str, RepResult], beat_ms: float, beat_step: int) -> BandRep:
        """The band's rep from those of its seats, each by its seat.

        ``beat_ms`` is when the ornament's own beat fell, on the scale of the results' onsets.
        """
        played = {
            seat: {
                step["step"]: step["onset_ms"] - beat_ms
                for step in result["steps"]
                if step["state"] == "played" and step["onset_ms"] is not None
            }
            for seat, result in results.items()
        }
        names = next((result["steps"] for result in results.values()), [])
        steps = tuple(_step(step["step"], step["note"], played) for step in names)
        beat = steps[beat_step].spread if beat_step < len(steps) else OnsetSpread(0, None, None)
        if beat.spread_ms is not None:
            self._spreads.append(beat.spread_ms)
        return BandRep(rep, sum(map(bool, played.values())), steps, beat, self.together_ms)

    @property
    def together_ms(self) -> float | None:
        """How close together the band is by now."""
        return sqrt(fmean(one * one for one in self._spreads)) if self._spreads else None


def _step(step: int, note: str, played: Mapping[str, Mapping[int, float]]) -> StepSpread:
    onsets = {seat: steps[step] for seat, steps in played.items() if step in steps}
    return StepSpread(step, note, onsets, spread_of(list(onsets.values())))


def spread_of(onsets_ms: Sequence[float]) -> OnsetSpread:
    """Middle and spread of the onsets of one step."""
    return OnsetSpread(
        seats=len(onsets_ms),
        middle_ms=median(onsets_ms) if onsets_ms else None,
        spread_ms=stdev(onsets_ms) if len(onsets_ms) > 1 else None,
    )
