"""The summary of several reps: how many were clean, where the beat fell, which faults came how often.

Bias is the median deviation, spread the scaled median absolute deviation (1.4826 * MAD, which equals the standard
deviation of a normal distribution), so that one stumble does not colour the whole run.
"""

from collections import Counter
from collections.abc import Sequence
from statistics import median

from typing_extensions import TypedDict

from chanterd.judging.report import RepResult

MAD_TO_SD = 1.482602218505602
"""1 / Phi^-1(3/4)."""


class Placement(TypedDict):
    """Where the step that belongs on the beat fell, over the reps in which it was heard; + = late."""

    heard: int
    median_ms: float | None
    spread_ms: float | None
    """None with fewer than two."""


class Summary(TypedDict):
    """All reps together."""

    reps: int
    played: int
    clean: int
    longest_row: int
    """The most clean reps in a row."""
    beat: Placement
    faults: dict[str, int]
    """In how many reps each fault came, the commonest first; of equals the one that came first."""


def spread(values: Sequence[float]) -> float:
    """The scaled median absolute deviation from the median. Raises StatisticsError on no values."""
    middle = median(values)
    return MAD_TO_SD * median(abs(value - middle) for value in values)


def summarise(reps: Sequence[RepResult]) -> Summary:
    """Sum up the reps of one run."""
    played = [rep for rep in reps if not rep["skipped"]]
    longest = row = 0
    for rep in played:
        row = row + 1 if rep["clean"] else 0
        longest = max(longest, row)
    anchors = [rep["anchor_ms"] for rep in played if rep["anchor_ms"] is not None]
    # No set: its order differs from run to run, and equal counts are told in the order in which they came.
    faults = Counter(name for rep in played for name in dict.fromkeys(fault["fault"] for fault in rep["faults"]))
    return Summary(
        reps=len(reps),
        played=len(played),
        clean=sum(rep["clean"] for rep in played),
        longest_row=longest,
        beat=Placement(
            heard=len(anchors),
            median_ms=round(median(anchors), 3) if anchors else None,
            spread_ms=round(spread(anchors), 3) if len(anchors) > 1 else None,
        ),
        faults=dict(faults.most_common()),
    )
