"""The judge of a tune's ornaments: the same as of a drill's reps, with what a tune does not ask left out.

Note lengths are the player's style (pointing), so that the notes on either side of an ornament are not judged; and an
ornament counts as early or late only where its note is written on a beat.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from chanterd.following.reading import LEAD, ExtraKind, StepState
from chanterd.following.tunes.visits import Visit
from chanterd.judging.advice import advise
from chanterd.judging.measure import ExtraMeasured, RepMeasured, StepMeasured
from chanterd.judging.neighbours import Neighbours, NeighbourTiming
from chanterd.judging.report import FaultResult, StepResult, extra_result, step_result
from chanterd.judging.shape import shape_of
from chanterd.judging.standard import Standard
from chanterd.judging.tunes.report import OrnamentResult
from chanterd.judging.verdict import Seen, judge_rep
from chanterd.music.fingering import is_little_finger, noise_notes
from chanterd.music.note import Note
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MS, Ns

PLACED = ("early", "late")
CROSSING_NS, LITTLE_FINGER_NS = 40 * NS_PER_MS, 80 * NS_PER_MS
"""A note on the way of the fingers that lasts longer was meant; the same figures as for drills."""
_UNKNOWN = NeighbourTiming(None, Ns(0), Ns(1), None)


@dataclass(frozen=True, slots=True)
class HeardNotes:
    """Everything that was heard in a take, bounces left out; ends are None where a note sounded on."""

    notes: Sequence[Note]
    at: Sequence[int]
    ends: Sequence[int | None]

    def length(self, onset: int) -> Ns | None:
        """How long an onset lasted."""
        end = self.ends[onset]
        return None if end is None else Ns(end - self.at[onset])


def judge_ornament(
    visit: Visit,
    segment: Segment,
    heard: HeardNotes,
    due_ns: float,
    before: StepMeasured | None,
    standard: Standard,
    *,
    drill: str | None,
) -> OrnamentResult:
    """Judge one ornament.

    ``before`` is the melody note before it, if it was played; ``drill`` is the way in as written.
    """
    asked = segment.drill
    steps = measured_steps(visit, segment, heard, due_ns)
    lead = before or StepMeasured(0, LEAD, asked.lead, None, StepState.MISSING, None, Ns(round(due_ns)), None, None)
    extras = tuple(_extra(heard, onset) for onset in visit.extras)
    rep = RepMeasured(0, lead, steps, extras, asked.anchor_step, skipped=False)
    seen = Seen(rep, shape_of(rep, segment), Neighbours(_UNKNOWN, _UNKNOWN, None))
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
        steps=_results(steps),
        extras=[extra_result(extra) for extra in extras],
    )


def measured_steps(visit: Visit, segment: Segment, heard: HeardNotes, due_ns: float) -> tuple[StepMeasured, ...]:
    """Every gracenote and, last, the melody note, held against when they were due."""
    found: list[StepMeasured] = []
    for step, (state, onset) in enumerate(zip(visit.states, visit.onsets, strict=True)):
        asked = segment.drill.steps[step]
        note, kind = asked.note, asked.kind
        expected = Ns(round(due_ns) + segment.from_beat_ns[step])
        if onset is None:
            found.append(StepMeasured(0, step, note, kind, state, None, expected, None, None))
            continue
        played = heard.notes[onset] if state is StepState.WRONG_NOTE else None
        at, length = Ns(heard.at[onset]), heard.length(onset)
        found.append(StepMeasured(0, step, note, kind, state, played, expected, at, length))
    return tuple(found)


def _results(steps: Sequence[StepMeasured]) -> list[StepResult]:
    return [step_result(step) for step in steps]


def _extra(heard: HeardNotes, onset: int) -> ExtraMeasured:
    note, length = heard.notes[onset], heard.length(onset)
    kind = ExtraKind.EXTRA_NOTE
    if 0 < onset < len(heard.notes) - 1 and length is not None:
        before, after = heard.notes[onset - 1], heard.notes[onset + 1]
        if before is not after and note in noise_notes(before, after):
            longest = LITTLE_FINGER_NS if is_little_finger(before, note, after) else CROSSING_NS
            kind = ExtraKind.CROSSING_NOISE if length < longest else kind
    return ExtraMeasured(note, kind, Ns(heard.at[onset]), length)
