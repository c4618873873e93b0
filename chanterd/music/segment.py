"""A segment: the shortest stretch of a score that is followed and judged by itself, laid out in time at a tempo.

It is one drill: an ornament with the note before it and its theme note. Each rep is a segment, and so is each melody
note of a tune with its gracenotes, if it has any. Offsets count from the start of the segment; index 0 is the note
before (the lead), index 1 + k is step k, and the theme note, the last step, lasts until the segment ends. A
:class:`Spread` gives the steps' lengths.
"""

from dataclasses import dataclass

from chanterd.music.drill import Drill
from chanterd.music.layout import Layout, standard_layout
from chanterd.music.spread import Spread, standard_spread
from chanterd.music.units import NS_PER_MINUTE, Bpm, Ns

MOST_OF_CLICK = 0.9
"""How much of the time before the beat, and of that after it, the steps may fill, up to a click each: where the longest
ornaments would need more at a fast tempo, all their steps are shortened alike, floor or no floor, so that lead and
theme are heard. Our own choice."""


@dataclass(frozen=True, slots=True)
class Segment:
    """One drill at a tempo."""

    drill: Drill
    click_bpm: Bpm
    offsets_ns: tuple[Ns, ...]
    """Expected onsets from the start of the segment: the lead, then every step, the theme last."""
    lengths_ns: tuple[Ns, ...]
    """Expected lengths, in the same order; the theme lasts until the segment ends."""
    lasts_ns: Ns
    """How long it is."""
    beat_ns: Ns
    """The ornament's own beat, from the start of the segment."""
    phase: float = 0.0
    """How far behind a click that beat is, in clicks. Only with 0, on the click, is an ornament early or late."""

    @property
    def ornamented(self) -> bool:
        """Whether there is more in it than its theme note."""
        return len(self.drill.steps) > 1

    @property
    def from_beat_ns(self) -> tuple[Ns, ...]:
        """By step, when it is expected from the ornament's own beat; the theme last."""
        return tuple(Ns(offset - self.beat_ns) for offset in self.offsets_ns[1:])


def make_segment(drill: Drill, click_bpm: Bpm, spread: Spread | None = None, layout: Layout | None = None) -> Segment:
    """Lay a drill out in time as a layout has it, the step that belongs on the beat on the ornament's own beat."""
    spread, layout = spread or standard_spread(), layout or standard_layout()
    click_ns = NS_PER_MINUTE / click_bpm
    beat, end = layout.ornament * click_ns, layout.clicks * click_ns
    rooms = MOST_OF_CLICK * min(beat, click_ns), MOST_OF_CLICK * min(end - beat, click_ns)
    return laid_out(drill, click_bpm, spread, beat_ns=beat, lasts_ns=end, rooms_ns=rooms)


def laid_out(
    drill: Drill,
    click_bpm: Bpm,
    spread: Spread,
    *,
    beat_ns: float,
    lasts_ns: float,
    rooms_ns: tuple[float, float],
    phase: float = 0.0,
) -> Segment:
    """Lay a drill out around its beat. ``rooms_ns``: the most that the steps before the beat may take, and those after.

    Where they would need more, all of them are shortened alike.
    """
    click_ns = NS_PER_MINUTE / click_bpm
    lengths = [sum(spread.length_ns(kind, click_ns) for kind in step.stands_for) for step in drill.steps[:-1]]
    needed = sum(lengths[: drill.anchor_step]), sum(lengths[drill.anchor_step :])
    fits = min([1.0, *(room / need for room, need in zip(rooms_ns, needed, strict=True) if need)])
    lengths = [length * fits for length in lengths]
    start = beat_ns - sum(lengths[: drill.anchor_step])
    onsets = [start + sum(lengths[:index]) for index in range(len(drill.steps))]
    return Segment(
        drill=drill,
        click_bpm=click_bpm,
        offsets_ns=tuple(Ns(round(at)) for at in (0.0, *onsets)),
        lengths_ns=tuple(Ns(round(length)) for length in (start, *lengths, lasts_ns - onsets[-1])),
        lasts_ns=Ns(round(lasts_ns)),
        beat_ns=Ns(round(beat_ns)),
        phase=phase,
    )
