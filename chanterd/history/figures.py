"""The figures of a run, updated with each rep; and a judged rep as rows of the tables.

Conventions: ns, deviations + = late. Bias is the median, spread the scaled median absolute deviation, as in
``judging.robust``; ``judging.shape`` decides which steps count and measures them.
"""

from array import array
from bisect import insort
from collections.abc import Iterable
from dataclasses import dataclass, field
from statistics import median
from typing import Any, Literal

from chanterd.judging.report import RepResult
from chanterd.judging.robust import MAD_TO_SD
from chanterd.music.units import NS_PER_MS

FEWEST = 2
"""With fewer values there is no spread."""
LEAD_STEP = -1


def ns(ms: float | None) -> int | None:
    """Milliseconds of a result as ns."""
    return None if ms is None else round(ms * NS_PER_MS)


def lengths(result: RepResult, kind: Literal["held", "quick"]) -> list[int]:
    """How long the steps of that kind were, as the judge measured them (see ``judging.shape``)."""
    return [round(length_ms * NS_PER_MS) for length_ms in result["shape"][kind]["lengths_ms"]]


def evenness(result: RepResult) -> float | None:
    """The longest held step over the shortest; 1 is even, None with fewer than two."""
    return result["shape"]["held"]["longest_over_shortest"]


def _values() -> "array[int]":
    return array("q")


@dataclass(slots=True)
class Figures:
    """Counts and robust statistics of a run so far."""

    reps: int = 0
    played: int = 0
    clean: int = 0
    longest_row: int = 0
    row: int = 0
    # In order of size, since Python sorts nearly ordered values much faster, and each rep needs the medians.
    anchors: "array[int]" = field(default_factory=_values)
    held: "array[int]" = field(default_factory=_values)
    quick: "array[int]" = field(default_factory=_values)

    def add(self, results: Iterable[RepResult]) -> None:
        """Add more reps."""
        for result in results:
            self.reps += 1
            if result["skipped"]:
                continue
            self.played += 1
            self.clean += result["clean"]
            self.row = self.row + 1 if result["clean"] else 0
            self.longest_row = max(self.longest_row, self.row)
            if result["anchor_ms"] is not None:
                insort(self.anchors, round(result["anchor_ms"] * NS_PER_MS))
            for length in lengths(result, "held"):
                insort(self.held, length)
            for length in lengths(result, "quick"):
                insort(self.quick, length)

    def as_row(self) -> dict[str, Any]:
        """The columns of ``runs`` that hold them."""
        bias, spread = _middle(self.anchors)
        held, held_spread = _middle(self.held)
        quick, quick_spread = _middle(self.quick)
        return {
            "reps": self.reps,
            "played": self.played,
            "clean": self.clean,
            "longest_row": self.longest_row,
            "heard": len(self.anchors),
            "bias_ns": bias,
            "spread_ns": spread,
            "held_ns": held,
            "held_spread_ns": held_spread,
            "quick_ns": quick,
            "quick_spread_ns": quick_spread,
        }


def _middle(values: "array[int]") -> tuple[int | None, int | None]:
    """Median and scaled MAD."""
    if not values:
        return None, None
    middle = median(values)
    spread = None if len(values) < FEWEST else round(MAD_TO_SD * median([abs(value - middle) for value in values]))
    return round(middle), spread


def rep_row(run: int, result: RepResult) -> dict[str, Any]:
    """The row of ``reps``."""
    return {
        "run_id": run,
        "rep": result["rep"],
        "clean": result["clean"],
        "skipped": result["skipped"],
        "anchor_ns": ns(result["anchor_ms"]),
        "evenness": evenness(result),
        "result": result,
    }


def step_rows(run: int, result: RepResult) -> list[dict[str, Any]]:
    """The rows of ``steps``, the lead first; none for a rep in which nothing was played."""
    if result["skipped"]:
        return []
    lead, ornament = result["lead"], result["steps"]
    numbered = [(LEAD_STEP, "lead", lead), *((step["step"], step["kind"], step) for step in ornament)]
    return [
        {
            "run_id": run,
            "rep": result["rep"],
            "step": number,
            "note": step["note"],
            "kind": kind,
            "state": step["state"],
            "played_note": step.get("played_note"),
            "expected_ns": ns(step["expected_ms"]),
            "onset_ns": ns(step["onset_ms"]),
            "deviation_ns": ns(step["deviation_ms"]),
            "length_ns": ns(step["length_ms"]),
        }
        for number, kind, step in numbered
    ]


def fault_rows(run: int, result: RepResult) -> list[dict[str, Any]]:
    """The rows of ``faults``, the most important first."""
    return [
        {"run_id": run, "rep": result["rep"], "number": number, **fault}
        for number, fault in enumerate(result["faults"])
    ]
