"""Reps as followed, written down by hand: everything as asked, but for what a test changes. Times in ms, + = late."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from chanterd.following.reading import LEAD, Extra, ExtraKind, RepRead, Sound, State, StepFound
from chanterd.judging.measure import RepMeasured, measure_rep
from chanterd.judging.standard import DEFAULT, Standard, read_standards
from chanterd.judging.verdict import Verdict, judge_rep
from chanterd.trade.drill import drill_from_words
from chanterd.trade.grid import TempoGrid
from chanterd.trade.note import Note
from chanterd.trade.timetable import make_timetable
from chanterd.trade.units import NS_PER_MS, Bpm, Ns

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
    states: Mapping[int, State] = field(default_factory=dict)
    """Steps that were not played: missing or merged."""
    extras: Sequence[tuple[Note, float, float | None, ExtraKind]] = ()
    """Note, onset from beat 0, length, kind."""

    def measured(self) -> RepMeasured:
        """Held against the timetable."""
        drill = drill_from_words(self.words)
        timetable = make_timetable(drill, Bpm(self.bpm))
        grid = TempoGrid(Bpm(self.bpm), ns(BEAT0_MS))
        start = BEAT0_MS + self.rep * 2 * 60_000 / self.bpm
        found = []
        for step in range(LEAD, len(drill.steps)):
            asked = drill.lead if step == LEAD else drill.steps[step].note
            onset_ms = start + timetable.offsets_ns[step + 1] / NS_PER_MS + self.off_ms.get(step, 0.0)
            length_ms = self.length_ms.get(step, timetable.lengths_ns[step + 1] / NS_PER_MS)
            sound = Sound(self.wrong.get(step, asked), ns(onset_ms), ns(length_ms))
            state = self.states.get(step, State.WRONG_NOTE if step in self.wrong else State.PLAYED)
            heard = state in (State.PLAYED, State.WRONG_NOTE)
            found.append(StepFound(self.rep, step, state, sound if heard else None))
        extras = tuple(
            Extra(Sound(note, ns(BEAT0_MS + at), None if length is None else ns(length)), kind)
            for note, at, length, kind in self.extras
        )
        read = RepRead(self.rep, found[0], tuple(found[1:]), extras, shift_ns=0.0, price=0.0)
        return measure_rep(read, timetable, grid)

    def judged(self, standard: Standard = STEADY) -> Verdict:
        """By a standard."""
        return judge_rep(self.measured(), drill_from_words(self.words), standard, 60e9 / self.bpm)
