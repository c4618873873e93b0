"""Measures held against a pulse that is elsewhere than the asked grid: only what was expected moves."""

from dataclasses import replace

from chanterd.judging.measure import SegmentMeasured, StepMeasured
from chanterd.music.units import Ns


def moved(step: StepMeasured, by_ns: Ns) -> StepMeasured:
    """The step, expected later (+) by that much."""
    return step._replace(expected_ns=Ns(step.expected_ns + by_ns))


def moved_rep(rep: SegmentMeasured, by_ns: Ns, lead_by_ns: Ns) -> SegmentMeasured:
    """The rep, its steps and theme expected later (+) by that much, and the lead by its own amount."""
    return replace(rep, lead=moved(rep.lead, lead_by_ns), steps=tuple(moved(step, by_ns) for step in rep.steps))
