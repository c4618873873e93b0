"""Reps as they are heard, through the whole run: everything as the segment has it, but for what a test changes.

Simulated: nobody plays so exactly. Times in ms, + = late.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from chanterd.judging.report import RepResult
from chanterd.judging.standard import DEFAULT, read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.heard import Onset, Silence
from chanterd.music.note import Note
from chanterd.music.ornament import Kind
from chanterd.music.segment import make_segment
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, make_run

BEAT0_MS = 3_000.0
HELD_MS, QUICK_MS, ADDED_MS = 60.0, 40.0, 35.0
"""A steady hand: an open held step, a gracenote, and each note of an added movement; all less if the tempo is fast."""


@dataclass(frozen=True, slots=True)
class Played:
    """One way to play a rep."""

    steps: Sequence[Note] | None = None
    """What is played between the note before and the theme note; None: the ornament itself."""
    length_ms: Mapping[int, float] = field(default_factory=dict)
    """Of these by their place, where it is not the steady hand's."""
    added: Sequence[Note] = ()
    """What is played after the theme note was reached, quickly; the last of it stays."""
    noise: Mapping[int, tuple[Note, float]] = field(default_factory=dict)
    """A note before the step of that place (the theme last), and how long; taken from what comes before."""
    off_ms: float = 0.0
    """Of the ornament."""
    lead_off_ms: float = 0.0
    beat_place: int | None = None
    """Which of the steps is on the beat; None: the one asked."""


def played_run(words: str, bpm: float, *ways: Played, reps: int = 4, standard: str = DEFAULT) -> list[RepResult]:
    """Reps played in these ways, in turn; at least that many."""
    drill = drill_from_words(words)
    table = make_segment(drill, Bpm(bpm))
    run = make_run(Exercise(drill, Bpm(bpm), read_standards()[standard]), Ns(round(BEAT0_MS * NS_PER_MS)))
    rep_ms, last, end = table.lasts_ns / NS_PER_MS, None, 0.0
    for rep in range(max(reps, len(ways))):
        way = ways[rep % len(ways)]
        for at_ms, note in _rep(words, bpm, way):
            end = BEAT0_MS + rep * rep_ms + at_ms
            if note is not last:
                run.hear(Onset(note, Ns(round(end * NS_PER_MS)), bounce=False))
            last = note
    run.hear(Silence(Ns(round((end + rep_ms / 2) * NS_PER_MS))))
    return [event.result for event in run.finish() if isinstance(event, RepEvent)]


def _rep(words: str, bpm: float, way: Played) -> list[tuple[float, Note]]:
    """Ms from the rep's beginning, in order."""
    drill = drill_from_words(words)
    table = make_segment(drill, Bpm(bpm))
    steps = [step.note for step in drill.steps[:-1]] if way.steps is None else list(way.steps)
    kinds = [step.kind for step in drill.steps[:-1]]
    lengths = [
        way.length_ms.get(place, QUICK_MS if place < len(kinds) and kinds[place] is Kind.QUICK else HELD_MS)
        for place in range(len(steps))
    ]
    room_ms = (table.lasts_ns - table.beat_ns) / NS_PER_MS
    hand = min(1.0, 0.75 * room_ms / (sum(lengths) + ADDED_MS * len(way.added) or room_ms))
    lengths = [length if place in way.length_ms else hand * length for place, length in enumerate(lengths)]
    beat = drill.anchor_step if way.beat_place is None else way.beat_place
    at = table.offsets_ns[drill.anchor_step + 1] / NS_PER_MS + way.off_ms - sum(lengths[:beat])
    line = [(way.lead_off_ms, drill.lead)]
    for place, (note, length) in enumerate(zip([*steps, drill.theme], [*lengths, 0.0], strict=True)):
        if place in way.noise:
            noise, long = way.noise[place]
            line.append((at - long, noise))
        line.append((at, note))
        at += length
    for note in way.added:
        at += hand * ADDED_MS
        line.append((at, note))
    return line
