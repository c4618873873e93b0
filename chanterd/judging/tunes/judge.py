"""The judge of a tune's segments: the same as of a drill's reps, with what a tune does not ask left out.

Note lengths are the player's style (pointing), so that the notes on either side of an ornament are not judged; and an
ornament counts as early or late only where its note is written on a beat.
"""

from dataclasses import replace

from chanterd.judging.advice import advise
from chanterd.judging.measure import SegmentMeasured
from chanterd.judging.neighbours import Neighbours, NeighbourTiming
from chanterd.judging.report import FaultResult, extra_result, step_result
from chanterd.judging.shape import shape_of
from chanterd.judging.standard import Standard
from chanterd.judging.tunes.report import OrnamentResult
from chanterd.judging.verdict import Seen, judge_rep
from chanterd.music.segment import Segment
from chanterd.music.units import Ns

PLACED = ("early", "late")
_UNKNOWN = NeighbourTiming(None, Ns(0), Ns(1), None)


def judge_ornament(
    measured: SegmentMeasured, segment: Segment, standard: Standard, drill: str | None
) -> OrnamentResult:
    """Judge one ornament; ``drill`` is the way in as written. One that is wholly left out is a fault, and no rest."""
    asked, played = segment.drill, replace(measured, skipped=False)
    seen = Seen(played, shape_of(played, segment), Neighbours(_UNKNOWN, _UNKNOWN, None))
    verdict = judge_rep(seen, segment, standard)
    faults = [fault for fault in verdict.faults if not segment.phase or fault.fault not in PLACED]
    listed: list[FaultResult] = []
    for fault in faults:
        advice = advise(fault, asked)
        listed.append(
            {"fault": fault.fault, "step": fault.step, "said": fault.said, "do": advice.said, "drill": advice.drill}
        )
    return OrnamentResult(
        drill=drill,
        gracenotes=[step.note.words for step in asked.steps[:-1]],
        clean=not faults,
        faults=listed,
        said=faults[0].said if faults else "Clean.",
        steps=[step_result(step) for step in measured.steps],
        extras=[extra_result(extra) for extra in measured.extras],
    )
