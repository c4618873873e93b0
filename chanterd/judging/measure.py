"""Measures of one segment as it was played: when each step was expected, when it came, how long it was.

Conventions: times in ns from beat 0 of the run; deviations + = late; steps count from 0, the lead is -1.
"""

from dataclasses import dataclass
from typing import NamedTuple

from chanterd.following.reading import LEAD, Extra, ExtraKind, SegmentRead, StepFound, StepState
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.segment import Segment
from chanterd.music.units import Ns

WRONG_NOTE = StepState.WRONG_NOTE
"""By a name of its own, since looking a member up in its enum takes long (on Python 3.11), and each step asks."""


class StepMeasured(NamedTuple):
    """One step of one segment; a named tuple for the same reason as what was found of it (see ``reading``)."""

    rep: int
    step: int
    note: Note
    kind: Kind | None
    """None: the lead."""
    state: StepState
    played_note: Note | None
    """What was played in its place; None unless the state is ``wrong note``."""
    expected_ns: Ns
    onset_ns: Ns | None
    length_ns: Ns | None

    @property
    def deviation_ns(self) -> Ns | None:
        """+ is late; None if it has no onset."""
        onset = self.onset_ns
        return None if onset is None else onset - self.expected_ns  # type: ignore[return-value]  # Ns() takes its time


@dataclass(frozen=True, slots=True)
class ExtraMeasured:
    """A note that nobody asked for."""

    note: Note
    kind: ExtraKind
    onset_ns: Ns
    length_ns: Ns | None


@dataclass(frozen=True, slots=True)
class SegmentMeasured:
    """One segment as it was played."""

    rep: int
    lead: StepMeasured
    steps: tuple[StepMeasured, ...]
    extras: tuple[ExtraMeasured, ...]
    anchor_step: int
    skipped: bool

    @property
    def anchor(self) -> StepMeasured:
        """The step that shows where the beat was played."""
        return self.steps[self.anchor_step]


def measure_step(found: StepFound, segment: Segment, start_ns: int, beat0_ns: int) -> StepMeasured:
    """Hold one step against its segment, which starts at ``start_ns`` from beat 0; beat 0 itself is on the clock."""
    place, state, sound = found.step, found.state, found.sound
    if place == LEAD:
        note, kind = segment.drill.lead, None
    else:
        asked = segment.drill.steps[place]
        note, kind = asked.note, asked.kind
    expected_ns = Ns(start_ns + segment.offsets_ns[place + 1])
    if sound is None:
        return StepMeasured(found.rep, place, note, kind, state, None, expected_ns, None, None)
    played = sound.note if state is WRONG_NOTE else None
    onset_ns = Ns(sound.onset_ns - beat0_ns)
    return StepMeasured(found.rep, place, note, kind, state, played, expected_ns, onset_ns, sound.length_ns)


def _measure_extra(extra: Extra, beat0_ns: int) -> ExtraMeasured:
    sound = extra.sound
    return ExtraMeasured(sound.note, extra.kind, Ns(sound.onset_ns - beat0_ns), sound.length_ns)


def measure_segment(read: SegmentRead, segment: Segment, start_ns: int, beat0_ns: int) -> SegmentMeasured:
    """Hold a reading against its segment, which starts at ``start_ns`` from beat 0; beat 0 itself is on the clock."""
    return SegmentMeasured(
        rep=read.rep,
        lead=measure_step(read.lead, segment, start_ns, beat0_ns),
        steps=tuple([measure_step(found, segment, start_ns, beat0_ns) for found in read.steps]),
        extras=tuple([_measure_extra(extra, beat0_ns) for extra in read.extras]),
        anchor_step=segment.drill.anchor_step,
        skipped=read.skipped,
    )
