"""When each note of a tune was due: by the click, or by the player's own pulse. Times in ns, + is late.

A player who comes from elsewhere, or who stopped, goes on by the same click: the notes from there on are due on the
nearest grid, moved by whole beats. Without a click the pulse is the line through the notes on the beats around, which
is begun once more at each such place. The figures are our own choice, tried on simulated players
(``tests/bench/bench_tune_following.py``).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from chanterd.following.tunes.visits import Visit
from chanterd.music.score import Score
from chanterd.music.timeline import Piece, Timeline
from chanterd.music.units import Beats, Ns

STOP_CLICKS, STOP_NS = 1.0, 700e6
"""Who is later than both of these of a sudden has stopped."""
FIRST_NOTES = 5
"""This many notes after a leap or a stop show which beat the player went on with."""
WINDOW_CLICKS = 4.0
"""The notes up to this far on either side of a note show the pulse at it."""
FEWEST = 3
"""With fewer notes than this around it a pulse is not known."""
PACE_FEWEST = 8
"""With fewer pairs of notes than this no pace is known."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Visits without a leap or a stop among them, by their indices: the first and the one behind the last."""

    first: int
    end: int
    stopped: bool
    """Whether a stop begins it, and no leap."""


def stretches(visits: Sequence[Visit], came_ns: Sequence[float | None], click_ns: float) -> list[Stretch]:
    """The stretches of a take; ``came_ns`` is when each visit's note came, its gracenotes taken off."""
    found: list[Stretch] = []
    first, stopped = 0, False
    last: int | None = None
    for index, visit in enumerate(visits):
        came = came_ns[index]
        late = False
        if last is not None and came is not None and not visit.leap:
            gap = (visit.clicks - visits[last].clicks) * click_ns
            late = came - (came_ns[last] or 0.0) - gap > max(STOP_CLICKS * click_ns, STOP_NS)
        if index > first and (visit.leap or late):
            found.append(Stretch(first, index, stopped))
            first, stopped = index, late and not visit.leap
            last = None
        if came is not None:
            last = index
    if visits:
        found.append(Stretch(first, len(visits), stopped))
    return found


def due_by_click(
    score: Score, visits: Sequence[Visit], came_ns: Sequence[float | None], parts: Sequence[Stretch], click: Timeline
) -> list[float]:
    """When each note is due by a click whose time 0 is the first note of the score."""
    due: list[float] = []
    pickup = -score.segments[0].phase % 1
    for part in parts:
        mine = range(part.first, part.end)
        base = pickup + score.segments[visits[part.first].segment].phase - visits[part.first].clicks
        if not part.first and not visits[0].segment:
            base = 0.0
        offs = [
            click.beats(Ns(round(came))) - visits[index].clicks - base
            for index in mine
            if (came := came_ns[index]) is not None
        ]
        shift = round(median(offs[:FIRST_NOTES])) if offs else 0
        due += [click.at(visits[index].clicks + base + shift) for index in mine]
    return due


def due_by_pulse(
    score: Score, visits: Sequence[Visit], came_ns: Sequence[float | None], parts: Sequence[Stretch], click_ns: float
) -> list[float]:
    """When each note is due by the player's own pulse; ``click_ns`` is the pace where too little is known."""
    due: list[float] = []
    for part in parts:
        notes = {
            index: NotePlaced(visits[index].clicks, came, on_beat=not score.segments[visits[index].segment].phase)
            for index in range(part.first, part.end)
            if (came := came_ns[index]) is not None
        }
        every = tuple(notes.values())
        due += [
            OwnPulse(every, click_ns, notes.get(index)).at(visits[index].clicks)
            for index in range(part.first, part.end)
        ]
    return due


@dataclass(frozen=True, slots=True, eq=False)
class NotePlaced:
    """A note of a stretch: when it is written and when it came."""

    clicks: float
    came_ns: float
    on_beat: bool


@dataclass(frozen=True, slots=True)
class OwnPulse:
    """The timeline of a player without a click, within a stretch: by the notes around, those to come among them."""

    notes: tuple[NotePlaced, ...]
    click_ns: float
    """The pace where too few notes are near."""
    without: NotePlaced | None = None
    """The note that is held against it, which must not count for itself."""

    def at(self, beats: Beats | float, /) -> Ns:
        """When a click of the player's falls; 0 in a stretch without a note."""
        return Ns(round(self._piece(beats).at(beats)))

    def beats(self, at_ns: Ns, /) -> Beats:
        """Which click a time is, by the pulse at the note that came nearest to it."""
        if not self.notes:
            return Beats(at_ns / self.click_ns)
        nearest = min(self.notes, key=lambda note: abs(note.came_ns - at_ns))
        return Beats(self._piece(nearest.clicks).click_at(at_ns))

    def _piece(self, at: float) -> Piece:
        """The line through the notes around; those on a beat if there are enough."""
        others = [note for note in self.notes if note is not self.without]
        near = [note for note in others if abs(note.clicks - at) <= WINDOW_CLICKS]
        on_beat = [note for note in near if note.on_beat]
        use = on_beat if len(on_beat) >= FEWEST else near
        if not use:
            if self.without is not None or not others:
                return Piece(at, 0.0 if self.without is None else self.without.came_ns, self.click_ns)
            use = [min(others, key=lambda note: abs(note.clicks - at))]
        apart = [abs(note.clicks - at) for note in use]
        weights = [(1 - (one / (WINDOW_CLICKS + 1)) ** 3) ** 3 if one <= WINDOW_CLICKS else 1.0 for one in apart]
        total = sum(weights)
        middle = sum(weight * note.clicks for weight, note in zip(weights, use, strict=True)) / total
        height = sum(weight * note.came_ns for weight, note in zip(weights, use, strict=True)) / total
        square = sum(weight * (note.clicks - middle) ** 2 for weight, note in zip(weights, use, strict=True))
        slope = self.click_ns
        if len(use) >= FEWEST and square > 1e-6:  # noqa: PLR2004 - more than one place
            off = sum(
                weight * (note.clicks - middle) * (note.came_ns - height)
                for weight, note in zip(weights, use, strict=True)
            )
            slope = off / square
        return Piece(middle, height, slope)


def pace_of(visits: Sequence[Visit], came_ns: Sequence[float | None], apart: Callable[[int], bool]) -> float | None:
    """The player's click, the median of what pairs of notes a beat or more apart show; None: too few notes.

    ``apart`` says of a visit whether it begins a stretch.
    """
    shown: list[float] = []
    since: list[tuple[float, float]] = []
    for index, visit in enumerate(visits):
        if apart(index):
            since = []
        came = came_ns[index]
        if came is None:
            continue
        for clicks, at in since[-6:]:
            if 1.0 <= visit.clicks - clicks <= 4.0:  # noqa: PLR2004 - a beat to a bar
                shown.append((came - at) / (visit.clicks - clicks))
        since.append((visit.clicks, came))
    return median(shown) if len(shown) >= PACE_FEWEST else None
