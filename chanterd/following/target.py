"""What a rep is followed by: its notes, when they are due and what each may cost. Worked out once for a run.

Conventions: place 0 is the lead, the last one the theme. This is part of the innermost loop of the program.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from chanterd.following.cost import Costs
from chanterd.music.note import Note
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MS

NOTHING = len(Note)
"""No note at all, where tables are looked up by the sounding note."""


class Target:
    """What depends only on a rep's drill and the tempo: worked out once for a run."""

    __slots__ = (
        "added_ns",
        "beat",
        "broken",
        "costs",
        "early_sq",
        "farthest_ns",
        "late_sq",
        "least",
        "notes",
        "offsets",
        "places",
        "rep_ns",
        "skips",
        "spared",
        "steps",
        "stub_ns",
        "uneven_sq",
        "whole",
        "whole_places",
    )

    def __init__(
        self,
        notes: Sequence[Note],
        offsets: Sequence[float],
        click_ns: float,
        rep_ns: float,
        costs: Costs,
        beat: int | None = None,
    ) -> None:
        """``notes`` are the lead, the steps and the theme, ``offsets`` when they are due from the rep's start.

        ``beat`` is the place of the note that belongs on the beat; None: the theme's.
        """
        self.beat = len(notes) - 1 if beat is None else beat
        self.offsets = tuple(offsets)
        self.farthest_ns = costs.farthest_of_rep * rep_ns
        self.notes = tuple(notes)
        self.steps = tuple(note for before, note in pairwise(self.notes[:-1]) if note != before)
        """The steps that sound, without the lead."""
        self.whole_places = (0, *(q for q in range(1, len(notes)) if notes[q] != notes[q - 1]))
        self.whole = [self.notes[q] for q in self.whole_places]
        """All that sounds of the rep, the lead and, unless it melts into a step, the theme included."""
        self.costs = costs
        self.late_sq = (costs.late_clicks * click_ns) ** 2
        self.rep_ns = rep_ns
        self.stub_ns = costs.stub_ms * NS_PER_MS
        self.added_ns = min(costs.added_ms * NS_PER_MS, 0.5 * (offsets[0] + rep_ns - offsets[-1]))
        """A note that lasts longer is no part of an added movement."""
        self.early_sq = (0.5 * click_ns) ** 2
        self.uneven_sq = (costs.uneven_ms * NS_PER_MS) ** 2
        self.places = tuple(tuple(q for q, note in enumerate(notes) if note == heard) for heard in Note)
        """For each of the nine notes, where it is target."""
        self.skips = tuple(tuple(self._sums(sounding)) for sounding in range(len(Note) + 1))
        """By sounding note: what leaving out the first ``q`` asked notes costs."""
        self.broken = (0.0, costs.broken_lead, *[costs.broken] * (len(notes) - 2), costs.broken_theme)
        """Behind a start, the lead, each step and the theme: what unasked notes cost there besides their own price."""
        self.least = min(costs.extra, costs.short_extra, costs.crossing, costs.wrong_note)
        """The least that one onset more in a gap can cost."""
        self.spared = costs.extra - min(costs.wrong_note - costs.missing, costs.wrong_theme - costs.no_theme)
        """The most that calling an onset a wrong note can save, besides what it costs that anything is broken."""

    def _sums(self, sounding: int) -> Iterator[float]:
        total = 0.0
        yield total
        for q in range(len(self.notes)):
            total += self.skip(q, sounding)
            yield total

    def skip(self, q: int, sounding: int) -> float:
        """The price of an asked note that has no onset, while that note sounds."""
        if self.notes[q] == sounding:
            return self.costs.melted
        return self.costs.no_theme if q == len(self.notes) - 1 else self.costs.missing

    def absolute(self, q: int, off: float) -> float:
        """The price of a deviation from the click, in ns, + = late."""
        square = off * off
        if off < 0:
            square /= self.early_sq
            return square * (self.costs.early_little + self.costs.early * square)
        return (self.costs.late if q else self.costs.late_lead) * square / (square + self.late_sq)

    def unhindered(self, off: float) -> float:
        """The price of being late, in ns, without any unasked note before."""
        square = off * off / self.early_sq if off > 0 else 0.0
        return self.costs.late_unhindered * square * square

    def relative(self, off: float) -> float:
        """The price of a difference to the deviation of the link before, in ns."""
        square = off * off
        return self.costs.uneven * square / (square + self.uneven_sq)

    def wrong(self, q: int, off: float, place: int, off_before: float, off_after: float | None) -> float:
        """The price of when a wrong note came: as a right one, or by the link after it, if that is nearer.

        ``place`` and ``off_before`` are the link's before, ``off_after`` that of the link after, if there is one.
        A jump between the two links is paid by the second of them; a wrong note in between does not pay it again.
        """
        if place > 0:
            price = self.relative(off - off_before)
        else:
            price = min(self.absolute(q, off), self.absolute(q, off - off_before))  # a start is off by nothing
        return price if off_after is None else min(price, self.relative(off - off_after))


def target_of(segment: Segment, click_ns: float, costs: Costs) -> Target:
    """What a rep of that segment asks."""
    drill = segment.drill
    notes = (drill.lead, *(step.note for step in drill.steps))
    return Target(notes, segment.offsets_ns, click_ns, segment.lasts_ns, costs, drill.anchor_step + 1)
