"""What got better: figures of the beginning of a span beside those of its end, for one ornament and way in.

The beginning is the first third of the days it was practised on, the end the last third; the days between are left
out, so that a slow change shows. All figures are medians of the days' figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from chanterd.history.answers import PlacementDay, TempoDay
from chanterd.judging.limit import HEARD
from chanterd.progress.words import clicks, place

FEWEST_DAYS = 3
"""With fewer days there is no beginning and no end to compare."""
RAISE_BPM = 3.0
"""The smallest raise of a tempo that is practised: common practice (3 to 5)."""
HEARD_MS = HEARD.within_ms
"""A smaller change of place or spread cannot be heard in quick notes."""


@dataclass(frozen=True, slots=True)
class Better:
    """What got better, each in words with both figures; None if it did not, or by too little."""

    tempo: str | None
    """The fastest tempo held clean on a day."""
    placement: str | None
    """How far from the beat."""
    spread: str | None
    """How much that varied."""

    @property
    def any(self) -> bool:
        """Whether anything got better."""
        return not (self.tempo is self.placement is self.spread is None)


def ends_of(days: Sequence[str]) -> tuple[str, str] | None:
    """The last day of the beginning and the first of the end; None if there are too few days."""
    if len(days) < FEWEST_DAYS:
        return None
    third = len(days) // 3
    return days[third - 1], days[-third]


def better(tempo: Sequence[TempoDay], placement: Sequence[PlacementDay], on_beat_ms: float) -> Better:
    """What got better by more than chance or an unnoticeable amount, from one way's days in order."""
    return Better(
        tempo=_faster(_then_and_now([(day.day, day.click_bpm) for day in tempo])),
        placement=_nearer(_then_and_now([(day.day, day.bias_ms) for day in placement]), on_beat_ms),
        spread=_steadier(_then_and_now([(day.day, day.spread_ms) for day in placement])),
    )


def _faster(found: tuple[float, float] | None) -> str | None:
    if found is None or found[1] - found[0] < RAISE_BPM:
        return None
    return f"{clicks(found[0])}, now {clicks(found[1])} clicks"


def _nearer(found: tuple[float, float] | None, on_beat_ms: float) -> str | None:
    if found is None or abs(found[0]) - abs(found[1]) < HEARD_MS or abs(found[0]) <= on_beat_ms:
        return None  # also where both were on the beat: there is nothing to say but that twice
    return f"{place(found[0], on_beat_ms)}, now {place(found[1], on_beat_ms)}"


def _steadier(found: tuple[float, float] | None) -> str | None:
    if found is None or found[0] - found[1] < HEARD_MS:
        return None
    return f"± {round(found[0])}, now ± {round(found[1])} ms"


def _then_and_now(figures: Sequence[tuple[str, float | None]]) -> tuple[float, float] | None:
    known = [(day, value) for day, value in figures if value is not None]
    ends = ends_of([day for day, _ in known])
    if ends is None:
        return None
    return (
        median(value for day, value in known if day <= ends[0]),
        median(value for day, value in known if day >= ends[1]),
    )
