"""The band of relative timing: whether any step of a rep took too large or too small a share of the ornament.

The share of a step is its length over that of the whole ornament, from its first sounding step to the theme note; an
ornament played wider or tighter in all its parts has the same shares. A rep is outside the band if the share of a step
is off its expected share by more than a given percentage of it: 15 in Cruz and others 2018 (Motricidade 14:107), who
took the relative timing of a row of key presses, after Sherwood 1988. An ornament of a single step has no shares: its
length is compared with the expected length.

Nothing that cannot be heard is outside: a shift under 6 ms is not noticed in so quick a row of notes (Friberg and
Sundberg 1995, JASA 98:2524, for intervals under 240 ms).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from chanterd.following.reading import LEAD
from chanterd.judging.measure import StepMeasured
from chanterd.music.units import NS_PER_MS

HEARD_NS = 6 * NS_PER_MS


@dataclass(frozen=True, slots=True)
class Off:
    """A step outside the band."""

    step: int
    percent: float
    """By how much it was off its expected share; + is too long."""
    length_ns: int


def farthest_off(steps: Sequence[StepMeasured], outside_percent: float) -> Off | None:
    """The step that is farthest outside the band; None if all are inside.

    ``steps`` is a rep from its lead to its theme note. Steps that were not heard have no share.
    """
    heard = [(one.step, one.onset_ns, one.expected_ns) for one in steps if one.onset_ns is not None and one.step > LEAD]
    lengths = [(step, after - onset, due - asked) for (step, onset, asked), (_, after, due) in pairwise(heard)]
    whole = sum(asked for _, _, asked in lengths)
    wider = sum(played for _, played, _ in lengths) / whole if len(lengths) > 1 and whole else 1.0
    off = [
        Off(step, 100 * (played / (wider * asked) - 1), played)
        for step, played, asked in lengths
        if abs(played - wider * asked) > max(outside_percent / 100 * wider * asked, HEARD_NS)
    ]
    return max(off, key=lambda one: abs(one.percent), default=None)
