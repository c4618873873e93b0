"""Early and late in a recording of which nothing was known: only where a beat is certain, by the player's own pulse.

A beat is certain in a drill whose reps are at steady distances, and in a tune that is at hand, whose notes say when the
next beat is due.
"""

from collections.abc import Sequence
from statistics import median

from chanterd.judging.report import FaultResult, RepResult
from chanterd.judging.tunes.report import TuneSummary
from chanterd.listening.followed import Followed
from chanterd.listening.report import PassagePlacement, not_judged

NO_BEAT = "No beat is certain here, so early and late are not judged."
UNEVEN = "The distances between the reps are too uneven for a certain beat, so early and late are not judged."
NOT_REACHED = "Too little of the tune was played to judge early and late."


def drill_placement(reps: Sequence[RepResult]) -> PassagePlacement:
    """How the reps of a steady drill were placed."""
    judged = [(off_ms, rep["faults"]) for rep in reps if (off_ms := rep["placement"]["off_ms"]) is not None]
    return _judged(judged, "") if judged else not_judged(UNEVEN)


def tune_placement(summary: TuneSummary, ornaments: Sequence[Followed]) -> PassagePlacement:
    """How a tune went, and how its ornaments on a beat were placed."""
    judged = [(off_ms, one.faults) for one in ornaments if (off_ms := one.off_beat_ms) is not None]
    if not judged:
        return not_judged(f"{summary['said']} {NOT_REACHED}")
    placement = _judged(judged, " ornaments on a beat")
    return {**placement, "said": f"{summary['said']} {placement['said']}"}


def _judged(judged: Sequence[tuple[float, Sequence[FaultResult]]], what: str) -> PassagePlacement:
    usual = round(median(off_ms for off_ms, _ in judged), 1)
    late, early = (
        sum(any(one["fault"] == name for one in faults) for _, faults in judged) for name in ("late", "early")
    )
    side = "after" if usual >= 0 else "before"
    where = f"Usually {abs(usual):.0f} ms {side} your own beat" if round(abs(usual)) else "Usually on your own beat"
    counted = [f"{words} in {count}" for words, count in (("late", late), ("early", early)) if count]
    often = f"{' and '.join(counted)} of" if counted else "never early or late in"
    return {
        "judged": True,
        "off_ms": usual,
        "late": late,
        "early": early,
        "reps": len(judged),
        "said": f"{where}; {often} {len(judged)}{what}.",
    }
