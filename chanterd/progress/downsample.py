"""Daily figures, thinned out to weeks or months: the fastest for a tempo, the median for everything else."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Protocol, TypeVar

from chanterd.history.answers import DayPractised, PlacementDay, TempoDay
from chanterd.progress.resolution import Grain, bucket


class _OfDay(Protocol):
    @property
    def day(self) -> str: ...


_Day = TypeVar("_Day", bound=_OfDay)


@dataclass(frozen=True, slots=True)
class TempoPoint:
    """The fastest tempo held clean in a day, week or month."""

    day: str
    click_bpm: float


@dataclass(frozen=True, slots=True)
class PlacementPoint:
    """Where the step on the beat usually fell (+ = late), and how much that varied: medians of the days' figures."""

    day: str
    bias_ms: float
    spread_ms: float | None
    played: int
    clean: int


@dataclass(frozen=True, slots=True)
class PracticePoint:
    """How much was practised."""

    day: str
    days: int
    minutes: float
    played: int


def thin_tempo(days: Iterable[TempoDay], grain: Grain) -> list[TempoPoint]:
    """In order of time."""
    return [TempoPoint(first, max(day.click_bpm for day in of)) for first, of in _buckets(days, grain)]


def thin_placement(days: Iterable[PlacementDay], grain: Grain) -> list[PlacementPoint]:
    """In order of time, without spans in which the step on the beat was never heard."""
    points = []
    for first, of in _buckets(days, grain):
        biases = [day.bias_ms for day in of if day.bias_ms is not None]
        spreads = [day.spread_ms for day in of if day.spread_ms is not None]
        if biases:
            points.append(
                PlacementPoint(
                    first,
                    round(median(biases), 1),
                    round(median(spreads), 1) if spreads else None,
                    sum(day.played for day in of),
                    sum(day.clean for day in of),
                )
            )
    return points


def thin_practice(days: Iterable[DayPractised], grain: Grain) -> list[PracticePoint]:
    """In order of time, without spans in which nobody practised."""
    return [
        PracticePoint(first, len(of), round(sum(day.minutes for day in of), 1), sum(day.played for day in of))
        for first, of in _buckets(days, grain)
    ]


def _buckets(days: Iterable[_Day], grain: Grain) -> list[tuple[str, Sequence[_Day]]]:
    found: dict[str, list[_Day]] = defaultdict(list)
    for day in days:
        found[bucket(day.day, grain)].append(day)
    return sorted(found.items())
