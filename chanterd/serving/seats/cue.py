"""What an input that performs, such as the simulated player, is to play in a run."""

from chanterd.hearing.source import Cue, Phrase
from chanterd.music.timetable import Timetable
from chanterd.music.units import Ns
from chanterd.practice.run import Run


def cue_for(run: Run) -> Cue:
    """What each rep in turn asks, as it can sound."""
    course, grid = run.course, run.grid
    first_ns = grid.at(course.layout.starts_at) - grid.beat0_ns
    phrases = tuple(_phrase(timetable, first_ns) for timetable in course.timetables)
    return Cue(grid.beat0_ns, course.rep_ns, phrases, click_off=run.exercise.click_off)


def _phrase(timetable: Timetable, first_ns: int) -> Phrase:
    """One rep as it can sound: a step equal to the note before it is left out."""
    drill, offsets = timetable.drill, [Ns(first_ns + offset) for offset in timetable.offsets_ns]
    sounding = [(drill.lead, offsets[0])]
    for step, offset in zip(drill.steps, offsets[1:], strict=True):
        if step.note != sounding[-1][0]:
            sounding.append((step.note, offset))
    notes, onsets = zip(*sounding, strict=True)
    return Phrase(notes, onsets)
