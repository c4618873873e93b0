"""The judge of one run: takes its reps in order, each with the segment that it was played to, and says what was wrong.

It remembers the rep before, which shares a note with the next one, and what it advised, since players repeat
themselves. Pure; times in ns.
"""

from dataclasses import dataclass, field

from chanterd.judging.advice import Advice, advise
from chanterd.judging.crossing import Crossing
from chanterd.judging.fault import Fault
from chanterd.judging.measure import SegmentMeasured, StepMeasured
from chanterd.judging.neighbours import Openness, RepBefore, neighbours_of
from chanterd.judging.shape import shape_of
from chanterd.judging.standard import Standard
from chanterd.judging.verdict import Seen, Verdict, judge_rep
from chanterd.music.drill import Drill
from chanterd.music.segment import Segment


@dataclass(frozen=True, slots=True)
class Judged:
    """One rep with all that is to be said about it."""

    seen: Seen
    click_ns: float
    verdict: Verdict
    advice: tuple[Advice, ...]
    """One for each fault, in their order."""


@dataclass(slots=True)
class Judge:
    """Judges by one standard at one tempo."""

    standard: Standard
    click_ns: float
    _before: RepBefore | None = field(init=False, default=None)
    _openness: Openness = field(init=False, default_factory=Openness)
    _drill: Drill | None = field(init=False, default=None)
    _advised: dict[tuple[str, int | None, Crossing | None], Advice] = field(init=False, default_factory=dict)

    def judge(self, rep: SegmentMeasured, segment: Segment, next_lead: StepMeasured | None) -> Judged:
        """Judge the next rep; ``next_lead`` is the lead of the rep after it as it is read by now, if it is."""
        judged = self.look(rep, segment, next_lead)
        self._before = RepBefore(rep, segment.lengths_ns[-1])
        self._openness.add(rep)
        return judged

    def look(self, rep: SegmentMeasured, segment: Segment, next_lead: StepMeasured | None) -> Judged:
        """Judge a rep as it is read by now, and remember nothing of it: it is not over yet."""
        before = self._before
        kept = neighbours_of(rep, segment, before, next_lead, self._openness.usual)
        seen = Seen(rep, shape_of(rep, segment), kept, None if before is None else before.rep)
        verdict = judge_rep(seen, segment, self.standard)
        advice = tuple([self._advise(fault, segment.drill) for fault in verdict.faults])
        return Judged(seen, self.click_ns, verdict, advice)

    def _advise(self, fault: Fault, drill: Drill) -> Advice:
        if drill is not self._drill:
            self._drill = drill
            self._advised.clear()
        about = (fault.fault, fault.step, fault.crossing)  # the figures do not change what is to be done
        advice = self._advised.get(about)
        if advice is None:
            advice = self._advised[about] = advise(fault, drill)
        return advice
