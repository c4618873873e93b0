"""The judge of a tune's segments: the same as of a drill's reps, with what a tune does not ask left out.

Note lengths are the player's style (pointing), so that the notes on either side of an ornament are not judged; and an
ornament counts as early or late only where its note is written on a beat.
"""

from dataclasses import replace

from chanterd.judging.advice import advise
from chanterd.judging.judge import Judged
from chanterd.judging.measure import SegmentMeasured
from chanterd.judging.neighbours import Neighbours, NeighbourTiming
from chanterd.judging.report import rep_result
from chanterd.judging.shape import shape_of
from chanterd.judging.standard import Standard
from chanterd.judging.tunes.report import OrnamentResult
from chanterd.judging.verdict import Seen, Verdict, judge_rep
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MINUTE, Ns

PLACED = ("early", "late")
_UNKNOWN = NeighbourTiming(None, Ns(0), Ns(1), None)


def judge_ornament(measured: SegmentMeasured, segment: Segment, standard: Standard) -> Judged:
    """Judge one ornament. One that is wholly left out is a fault, and no rest."""
    asked, played = segment.drill, replace(measured, skipped=False)
    seen = Seen(played, shape_of(played, segment), Neighbours(_UNKNOWN, _UNKNOWN, None))
    found = judge_rep(seen, segment, standard).faults
    faults = tuple(fault for fault in found if not segment.phase or fault.fault not in PLACED)
    click_ns = NS_PER_MINUTE / segment.click_bpm
    return Judged(seen, click_ns, Verdict(not faults, faults), tuple(advise(fault, asked) for fault in faults))


def ornament_result(judged: Judged, drill: str | None) -> OrnamentResult:
    """An ornament as plain data; ``drill`` is the way in as written."""
    rep = rep_result(judged, said_of(judged))
    return OrnamentResult(
        drill=drill,
        gracenotes=[step["note"] for step in rep["steps"][:-1]],
        clean=rep["clean"],
        faults=rep["faults"],
        said=rep["said"],
        steps=rep["steps"],
        extras=rep["extras"],
    )


def said_of(judged: Judged) -> str:
    """The one sentence about an ornament."""
    return judged.verdict.faults[0].said if judged.verdict.faults else "Clean."
