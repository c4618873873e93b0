"""When the reps of a scene are, in the shape in which the daemon sends it."""

from chanterd.music.drill import drill_from_words
from chanterd.music.drill_score import drill_score
from chanterd.music.grid import TempoGrid
from chanterd.music.units import Bpm, Ns
from chanterd.serving.wire.segments import SegmentShown, segment_view


def segments(click_bpm: float = 60.0, reps: int = 64) -> list[SegmentShown]:
    """The reps of the default layout in time: more than any scene lasts."""
    score, click = drill_score(drill_from_words("grip from B to C"), Bpm(click_bpm)), TempoGrid(Bpm(click_bpm), Ns(0))
    return [segment_view(score, click, rep) for rep in range(reps)]
