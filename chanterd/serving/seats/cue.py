"""What an input that performs, such as the simulated player, is to play in a run."""

from chanterd.hearing.source import Cue, Phrase
from chanterd.music.segment import Segment
from chanterd.music.units import Ns
from chanterd.practice.run import Run


def cue_for(run: Run) -> Cue:
    """What each rep in turn asks, as it can sound."""
    score, grid = run.score, run.grid
    first_ns = grid.at(score.start(0)) - grid.beat0_ns
    phrases = tuple(_phrase(segment, first_ns) for segment in score.segments)
    return Cue(grid.beat0_ns, score.turn_ns, phrases, click_off=run.exercise.click_off)


def _phrase(segment: Segment, first_ns: int) -> Phrase:
    """One rep as it can sound: a step equal to the note before it is left out."""
    drill, offsets = segment.drill, [Ns(first_ns + offset) for offset in segment.offsets_ns]
    sounding = [(drill.lead, offsets[0])]
    for step, offset in zip(drill.steps, offsets[1:], strict=True):
        if step.note != sounding[-1][0]:
            sounding.append((step.note, offset))
    notes, onsets = zip(*sounding, strict=True)
    return Phrase(notes, onsets)
