"""An ornament that no drill was chosen for, judged by its shape: by the same judge and the same limits as in a drill.

Without a beat nothing is early or late, too slow for the tempo, wound up or paused. What is asked of its steps is their
ordinary length, as at the fastest tempo.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from chanterd.following.reading import LEAD, ExtraKind, Sound, StepState
from chanterd.judging.measure import ExtraMeasured, SegmentMeasured, StepMeasured
from chanterd.judging.shape import Shape, shape_of
from chanterd.judging.standard import Standard
from chanterd.judging.verdict import Verdict, judge_shape
from chanterd.listening.found import Found
from chanterd.listening.match import EXTRA, Match, is_noise
from chanterd.listening.prices import STANDARD_PRICES
from chanterd.listening.ways import Way
from chanterd.music.drill import Drill
from chanterd.music.fingering import is_little_finger
from chanterd.music.grid import FASTEST_BPM
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.segment import Segment, make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns

MERGED, MISSING, PLAYED, WRONG_NOTE = StepState.MERGED, StepState.MISSING, StepState.PLAYED, StepState.WRONG_NOTE


@dataclass(frozen=True, slots=True)
class ShapeJudged:
    """An ornament with what is to be said of its shape; times in ns as they were heard."""

    found: Found
    way: Way
    rep: SegmentMeasured
    shape: Shape
    verdict: Verdict

    @property
    def start_ns(self) -> Ns:
        """When its first step began."""
        return next(step.onset_ns for step in self.rep.steps if step.onset_ns is not None)

    @property
    def theme_ns(self) -> Ns:
        """When the melody note began that it leads to."""
        return next(step.onset_ns for step in reversed(self.rep.steps) if step.onset_ns is not None)


def judge_found(found: Found, standard: Standard) -> ShapeJudged | None:
    """Judge what was found; None if it is no ornament of the book."""
    if not found.choices:
        return None
    match = found.choices[0].match
    way = match.variant.way
    rep = _measured(found, match, way.drill)
    segment = _segment(way.drill)
    shape = shape_of(rep, segment)
    return ShapeJudged(found, way, rep, shape, judge_shape(rep, shape, segment, standard))


@lru_cache(maxsize=256)
def _segment(drill: Drill) -> Segment:
    return make_segment(drill, Bpm(FASTEST_BPM))


def _measured(found: Found, match: Match, drill: Drill) -> SegmentMeasured:
    way = match.variant.way
    at: dict[int, int] = {}
    for index, place in enumerate(match.places):
        if place != EXTRA:
            at.setdefault(way.steps[place], index)  # one that came back began when it was there first
    steps: list[StepMeasured] = []
    sounding = found.lead.note if found.lead is not None else None
    for index, step in enumerate(drill.steps):
        kind, heard = step.kind, at.get(index)
        if heard is not None:
            sound = found.sounds[heard]
            wrong = sound.note is not step.note
            state, played = (WRONG_NOTE, sound.note) if wrong else (PLAYED, None)
            steps.append(_step(index, step.note, kind, state, sound, played))
            sounding = sound.note
        else:
            state = MERGED if not step.sounds or step.note is sounding else MISSING
            steps.append(_step(index, step.note, kind, state, None, None))
    lead = _step(LEAD, drill.lead, None, PLAYED if found.lead else MISSING, found.lead, None)
    return SegmentMeasured(0, lead, tuple(steps), tuple(_extras(found, match)), drill.anchor_step, skipped=False)


def _step(
    index: int, note: Note, kind: Kind | None, state: StepState, sound: Sound | None, played: Note | None
) -> StepMeasured:
    """A step that is where it is expected, since nothing else was."""
    if sound is None:
        return StepMeasured(0, index, note, kind, state, None, Ns(0), None, None)
    return StepMeasured(0, index, note, kind, state, played, sound.onset_ns, sound.onset_ns, sound.length_ns)


def _extras(found: Found, match: Match) -> list[ExtraMeasured]:
    """The notes that belong to no step; one with which the note before only came back is none of them."""
    extras: list[ExtraMeasured] = []
    for leftover in match.extras:
        sound = found.sounds[leftover.at]
        before = found.sounds[leftover.at - 1] if leftover.at else found.lead
        noise = _is_noise(before, sound, found.sounds[leftover.at + 1 :])
        kind = ExtraKind.CROSSING_NOISE if noise else ExtraKind.EXTRA_NOTE
        extras.append(ExtraMeasured(sound.note, kind, sound.onset_ns, sound.length_ns))
    return sorted(extras, key=lambda extra: extra.onset_ns)


def _is_noise(before: Sound | None, sound: Sound, after: Sequence[Sound]) -> bool:
    if before is None or not after or sound.length_ns is None:
        return False
    notes = before.note, sound.note, after[0].note
    little = is_little_finger(*notes)
    most_ms = STANDARD_PRICES.little_finger_ms if little else STANDARD_PRICES.noise_ms
    return sound.length_ns < most_ms * NS_PER_MS and is_noise(*(note.abc for note in notes))
