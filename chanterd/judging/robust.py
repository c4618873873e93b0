"""Robust statistics of a run: a habit as medians show it, so that one stumble colours no bias, spread or drift.

Values are in any one unit. How sure a bias is: the standard error of a median of n normal values is sqrt(pi/2) times
their standard deviation over sqrt(n) (asymptotic; a textbook fact, from memory).
"""

from collections.abc import Sequence
from itertools import combinations
from math import pi, sqrt
from statistics import median

MAD_TO_SD = 1.482602218505602
"""1 / Phi^-1(3/4): makes the median absolute deviation of normal values their standard deviation."""

FEWEST = 5
"""With fewer values a median absolute deviation is too coarse to say how sure a bias is; our own choice."""

MOST_FOR_DRIFT = 300
"""Slopes are counted between this many values at most, evenly taken, so that an hour costs no more than minutes."""


def spread(values: Sequence[float]) -> float:
    """The scaled median absolute deviation from the median. Raises StatisticsError on no values."""
    middle = median(values)
    return MAD_TO_SD * median([abs(value - middle) for value in values])


def scatter(values: Sequence[float]) -> float:
    """The standard deviation about the median, without the tenth of the values farthest from it, at least one.

    A slip does not count, but two sizes by turns or at random do, however much the commoner one outweighs the other: a
    median absolute deviation sees nothing of the rarer. Raises StatisticsError on no values.
    """
    middle = median(values)
    away = sorted(abs(value - middle) for value in values)
    kept = away[: len(away) - max(1, len(away) // 10)]
    return sqrt(sum(one * one for one in kept) / len(kept)) if kept else 0.0


def standard_error(values: Sequence[float]) -> float | None:
    """Of the median; None with fewer than ``FEWEST`` values."""
    return standard_error_of(spread(values), len(values)) if len(values) >= FEWEST else None


def standard_error_of(spread_of_values: float, count: int) -> float:
    """Of the median of ``count`` values with that spread."""
    return sqrt(pi / 2) * spread_of_values / sqrt(count)


def drift(values: Sequence[float], at: Sequence[float]) -> float | None:
    """The Theil-Sen slope: the median of the slopes between all pairs (Sen 1968); None if all lie at one place."""
    step = -(-len(values) // MOST_FOR_DRIFT) or 1
    points = zip(at[::step], values[::step], strict=True)
    slopes = [
        (after - before) / (there - here) for (here, before), (there, after) in combinations(points, 2) if there != here
    ]
    return median(slopes) if slopes else None
