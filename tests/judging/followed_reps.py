"""Reps as followed, written down by hand: everything as asked, but for what a test changes. Times in ms, + = late."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from chanterd.following.reading import LEAD, Extra, ExtraKind, SegmentRead, Sound, StepFound, StepState
from chanterd.judging.judge import Judge, Judged
from chanterd.judging.measure import SegmentMeasured, StepMeasured, measure_segment, measure_step
from chanterd.judging.neighbours import AS_ASKED, Neighbours, RepBefore, Usual, neighbours_of
from chanterd.judging.shape import Shape, shape_of
from chanterd.judging.standard import DEFAULT, Standard, read_standards
from chanterd.judging.verdict import Verdict
from chanterd.music.drill import drill_from_words
from chanterd.music.grid import TempoGrid
from chanterd.music.note import Note
from chanterd.music.segment import Segment, make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns

STEADY = read_standards()[DEFAULT]
BEAT0_MS = 123_456.0
"""The grid does not start at 0 on the daemon's clock, so nothing may forget to take it off."""


def ns(ms: float) -> Ns:
    """Milliseconds as ns."""
    return Ns(round(ms * NS_PER_MS))


@dataclass(frozen=True, slots=True)
class Rep:
    """One rep of a drill; steps count from 0, the lead is -1."""

    words: str = "grip from B to C"
    bpm: float = 60.0
    rep: int = 0
    off_ms: Mapping[int, float] = field(default_factory=dict)
    length_ms: Mapping[int, float] = field(default_factory=dict)
    """Where not given, the length is as asked."""
    wrong: Mapping[int, Note] = field(default_factory=dict)
    states: Mapping[int, StepState] = field(default_factory=dict)
    """Steps that were not played: missing or merged."""
    extras: Sequence[tuple[Note, float, float | None, ExtraKind]] = ()
    """Note, onset from beat 0, length, kind."""
    theme_sounds: bool = False
    """Whether the theme note was still sounding when the rep was judged."""
    next_off_ms: float | None = None
    """How late the lead of the next rep came; None: not heard yet."""
    before: "Rep | None" = None
    """The rep right before it, which is one number lower."""

    def measured(self) -> SegmentMeasured:
        """Held against the segment."""
        segment, grid = self.segment, self.grid
        drill = segment.drill
        start = BEAT0_MS + self.rep * 2 * 60_000 / self.bpm
        found = []
        for step in range(LEAD, len(drill.steps)):
            asked = drill.lead if step == LEAD else drill.steps[step].note
            onset_ms = start + segment.offsets_ns[step + 1] / NS_PER_MS + self.off_ms.get(step, 0.0)
            length_ms = self.length_ms.get(step, segment.lengths_ns[step + 1] / NS_PER_MS)
            sound = Sound(self.wrong.get(step, asked), ns(onset_ms), ns(length_ms))
            state = self.states.get(step, StepState.WRONG_NOTE if step in self.wrong else StepState.PLAYED)
            heard = state in (StepState.PLAYED, StepState.WRONG_NOTE)
            if step == len(drill.steps) - 1:
                sound = self._theme(sound)
            found.append(StepFound(self.rep, step, state, sound if heard else None))
        extras = tuple(
            Extra(Sound(note, ns(BEAT0_MS + at), None if length is None else ns(length)), kind)
            for note, at, length, kind in self.extras
        )
        read = SegmentRead(self.rep, found[0], tuple(found[1:]), extras, shift_ns=0.0, price=0.0)
        return measure_segment(read, segment, grid.since_ns(2 * read.rep), grid.beat0_ns)

    def _theme(self, sound: Sound) -> Sound:
        """The theme lasts until the next lead, unless the test says how long."""
        length = sound.length_ns
        if self.theme_sounds:
            length = None
        elif self.next_off_ms is not None and len(self.segment.drill.steps) - 1 not in self.length_ms:
            length = Ns(self.grid.at(2 * (self.rep + 1)) + ns(self.next_off_ms) - sound.onset_ns)
        return Sound(sound.note, sound.onset_ns, length)

    @property
    def segment(self) -> Segment:
        """The drill in time."""
        return make_segment(drill_from_words(self.words), Bpm(self.bpm))

    @property
    def grid(self) -> TempoGrid:
        """The click."""
        return TempoGrid(Bpm(self.bpm), ns(BEAT0_MS))

    def next_lead(self) -> StepMeasured | None:
        """The next rep's lead as it is read when this rep is judged."""
        if self.next_off_ms is None:
            return None
        at = self.grid.at(2 * (self.rep + 1)) + ns(self.next_off_ms)
        sound = Sound(self.segment.drill.lead, Ns(at), None)
        found = StepFound(self.rep + 1, LEAD, StepState.PLAYED, sound)
        return measure_step(found, self.segment, self.grid.since_ns(2 * found.rep), self.grid.beat0_ns)

    def neighbours(self, usual: Usual = AS_ASKED) -> Neighbours:
        """The notes on both sides."""
        before = None if self.before is None else RepBefore(self.before.measured(), self.segment.lengths_ns[-1])
        return neighbours_of(self.measured(), self.segment, before, self.next_lead(), usual)

    def shape(self) -> Shape:
        """The lengths of its steps."""
        return shape_of(self.measured(), self.segment)

    def assessed(self, standard: Standard = STEADY) -> Judged:
        """By a standard, with all that is said."""
        judge = Judge(standard, 60e9 / self.bpm)
        if self.before is not None:
            judge.judge(self.before.measured(), self.segment, None)
        return judge.judge(self.measured(), self.segment, self.next_lead())

    def judged(self, standard: Standard = STEADY) -> Verdict:
        """By a standard."""
        return self.assessed(standard).verdict
