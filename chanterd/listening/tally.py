"""How each ornament went so far: how often, how often clean, with which faults, how long its steps are as a rule."""

from collections import Counter, deque
from collections.abc import Iterable
from dataclasses import dataclass, field
from statistics import median

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT
from chanterd.listening.judged import ShapeJudged
from chanterd.music.ornament import Kind
from chanterd.music.units import NS_PER_MS

LENGTHS_KEPT = 200
"""Of each kind of step and ornament: this many say what is usual."""
FEWEST_TO_WORK_ON = 3
"""An ornament that was played less often has shown nothing yet."""


@with_config(STRICT)
class SummaryRow(TypedDict):
    """One ornament; lengths are medians, None where it has no such step."""

    ornament: str
    played: int
    clean: int
    held_ms: float | None
    quick_ms: float | None
    faults: dict[str, int]
    """The commonest first."""


@dataclass(slots=True)
class _Counted:
    played: int = 0
    clean: int = 0
    faults: Counter[str] = field(default_factory=Counter)
    lengths: dict[Kind, deque[int]] = field(
        default_factory=lambda: {kind: deque(maxlen=LENGTHS_KEPT) for kind in (Kind.HELD, Kind.QUICK)}
    )


class Tally:
    """Counts ornaments, in memory that does not grow with how many there are."""

    def __init__(self) -> None:
        self._counted: dict[str, _Counted] = {}

    def add(self, judged: ShapeJudged, faults: Iterable[str] | None = None) -> None:
        """Count one; ``faults`` are those against a beat, too, where one is certain."""
        # Each once, in order: of faults that are equally common the first is the same whenever a take is read.
        named = dict.fromkeys((fault.fault for fault in judged.verdict.faults) if faults is None else faults)
        one = self._counted.setdefault(judged.way.ornament.name, _Counted())
        one.played += 1
        one.clean += not named
        one.faults.update(named.keys())
        for kind, lengths in one.lengths.items():
            lengths.extend(judged.shape.of(kind).lengths_ns)

    def add_row(self, row: SummaryRow) -> None:
        """Count what was counted elsewhere; of its steps only the medians are known, which then weigh as many."""
        one = self._counted.setdefault(row["ornament"], _Counted())
        one.played += row["played"]
        one.clean += row["clean"]
        one.faults.update(row["faults"])
        for kind, usual_ms in ((Kind.HELD, row["held_ms"]), (Kind.QUICK, row["quick_ms"])):
            if usual_ms is not None:
                one.lengths[kind].extend([round(usual_ms * NS_PER_MS)] * min(row["played"], LENGTHS_KEPT))

    def rows(self) -> list[SummaryRow]:
        """By ornament, the one that was played most first."""
        rows = [_row(name, one) for name, one in self._counted.items()]
        return sorted(rows, key=lambda row: -row["played"])

    @property
    def work_on(self) -> SummaryRow | None:
        """The ornament with the smallest share of clean ones; None if all are clean, or too little was played."""
        known = [row for row in self.rows() if row["played"] >= FEWEST_TO_WORK_ON and row["clean"] < row["played"]]
        return min(known, key=lambda row: row["clean"] / row["played"], default=None)


def _row(name: str, one: _Counted) -> SummaryRow:
    middle = {kind: round(median(known) / NS_PER_MS, 1) if known else None for kind, known in one.lengths.items()}
    return {
        "ornament": name,
        "played": one.played,
        "clean": one.clean,
        "held_ms": middle[Kind.HELD],
        "quick_ms": middle[Kind.QUICK],
        "faults": dict(one.faults.most_common()),
    }
