"""The shape of one rep: how long its steps were among themselves, apart from where the ornament was placed.

Conventions: lengths in ns. A crossing noise after a step counts as part of it: the fingers were on their way. Evenness
is the longest over the shortest, each held against the length asked of it, so that a placeholder of a build-up, which
is several steps in one, is not called uneven.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import sqrt

from chanterd.following.reading import ExtraKind, StepState
from chanterd.judging.measure import SegmentMeasured, StepMeasured
from chanterd.music.ornament import Kind
from chanterd.music.segment import Segment
from chanterd.music.units import Ns

EVEN_FROM = 2
"""How many steps it takes to be even or not."""


@dataclass(frozen=True, slots=True)
class KindShape:
    """The steps of one kind that were played as asked, in order of playing."""

    steps: tuple[int, ...]
    lengths_ns: tuple[Ns, ...]
    """As played, with the noise behind them."""
    even_ns: tuple[float, ...]
    """The same, each as if a step of ordinary length had been asked."""

    @property
    def longest_over_shortest(self) -> float | None:
        """1 is perfectly even; None with fewer than two."""
        return max(self.even_ns) / min(self.even_ns) if len(self.even_ns) >= EVEN_FROM else None

    @property
    def spread_ns(self) -> float | None:
        """The standard deviation within the rep; None with fewer than two."""
        count = len(self.even_ns)
        if count < EVEN_FROM:
            return None
        mean = sum(self.even_ns) / count
        return sqrt(sum((length - mean) ** 2 for length in self.even_ns) / (count - 1))


@dataclass(frozen=True, slots=True)
class Shape:
    """The steps that carry the rhythm, and those that only articulate."""

    held: KindShape
    quick: KindShape

    def of(self, kind: Kind) -> KindShape:
        """The steps of that kind."""
        return self.quick if kind is Kind.QUICK else self.held


NONE_OF_IT = KindShape((), (), ())


def shape_of(rep: SegmentMeasured, segment: Segment) -> Shape:
    """The shape of a rep, of the steps that were played as asked and whose length is known.

    A step that had to go on sounding for the one after it, which was missing, has no length of its own. One that is
    written long is left out: how long it is to be is a matter of school, and it is not to be even with the others.
    """
    steps = segment.drill.steps
    held: list[StepMeasured] = []
    quick: list[StepMeasured] = []
    played, is_quick = StepState.PLAYED, Kind.QUICK
    for step, after in pairwise(rep.steps):
        if step.state is played and step.length_ns and after.onset_ns is not None and not steps[step.step].long:
            (quick if step.kind is is_quick else held).append(step)
    return Shape(_kind_shape(held, rep, segment), _kind_shape(quick, rep, segment))


def _kind_shape(steps: list[StepMeasured], rep: SegmentMeasured, segment: Segment) -> KindShape:
    if not steps:
        return NONE_OF_IT
    asked = [segment.lengths_ns[step.step + 1] for step in steps]
    lengths = [_whole_ns(step, rep) for step in steps]
    unit = min(asked)  # that of an ordinary step; a placeholder is asked to be longer
    even = [length * unit / one for length, one in zip(lengths, asked, strict=True)]
    return KindShape(tuple([step.step for step in steps]), tuple(lengths), tuple(even))


def _whole_ns(step: StepMeasured, rep: SegmentMeasured) -> Ns:
    """The step's length with the crossing noises right behind it."""
    if not rep.extras:
        return step.length_ns or Ns(0)
    length = step.length_ns or 0
    for extra in rep.extras:
        behind = step.onset_ns is not None and extra.onset_ns == step.onset_ns + length
        if behind and extra.kind is ExtraKind.CROSSING_NOISE and extra.length_ns is not None:
            length += extra.length_ns
    return Ns(length)
