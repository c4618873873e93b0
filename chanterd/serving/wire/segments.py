"""Where the segments of a run are in time, as a page needs it: it multiplies nothing itself."""

from typing import Literal

from pydantic import with_config
from typing_extensions import TypedDict

from chanterd.judging.report import STRICT
from chanterd.music.grid import TempoGrid
from chanterd.music.score import Score
from chanterd.music.units import ms


@with_config(STRICT)
class SegmentShown(TypedDict):
    """One coming-by of a segment; which one it is follows from ``rep`` and the run's ``sequence``."""

    rep: int
    starts: float
    """In clicks from beat 0, as ``beat`` and ``ends``."""
    beat: float
    """The ornament's own beat."""
    ends: float
    starts_ms: float
    """From beat 0 of the run."""
    beat_ms: float


@with_config(STRICT)
class SegmentFrame(TypedDict):
    """The next segment of a run, sent as the one before it starts; the first two come with the run."""

    kind: Literal["segment"]
    seat: str
    segment: SegmentShown


def segment_view(score: Score, grid: TempoGrid, turn: int) -> SegmentShown:
    """That turn of a score on a click."""
    segment, starts = score.segment(turn), score.start(turn)
    starts_ns = grid.since_ns(starts)
    return SegmentShown(
        rep=turn,
        starts=starts,
        beat=round(starts + segment.beat_ns / grid.click_ns, 6),
        ends=score.start(turn + 1),
        starts_ms=ms(starts_ns),
        beat_ms=ms(starts_ns + segment.beat_ns),
    )
