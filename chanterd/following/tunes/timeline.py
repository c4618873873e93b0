"""When each note of a tune was due: by the click, or by the player's own pulse. Times in ns, + is late.

A player who comes from elsewhere, or who stopped, goes on by the same click: the notes from there on are due on the
nearest grid, moved by whole beats. Without a click the pulse is the line through the notes on the beats around, which
is begun once more at each such place.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from chanterd.following.tunes.visits import Visit
from chanterd.music.score import Score

STOP_CLICKS, STOP_NS = 1.0, 700e6
"""Who is later than both of these of a sudden has stopped."""
FIRST_NOTES = 5
"""By so many notes behind a leap or a stop it is seen which beat the player went on with."""
WINDOW_CLICKS = 4.0
"""The notes so far to either side of a note show the pulse at it."""
FEWEST = 3
"""With fewer notes than this around it a pulse is not known."""
PACE_FEWEST = 8


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
    score: Score, visits: Sequence[Visit], came_ns: Sequence[float | None], parts: Sequence[Stretch], click_ns: float
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
            came - (visits[index].clicks + base) * click_ns for index in mine if (came := came_ns[index]) is not None
        ]
        shift = round(median(offs[:FIRST_NOTES]) / click_ns) if offs else 0
        due += [(visits[index].clicks + base + shift) * click_ns for index in mine]
    return due


def due_by_pulse(
    score: Score, visits: Sequence[Visit], came_ns: Sequence[float | None], parts: Sequence[Stretch], click_ns: float
) -> list[float]:
    """When each note is due by the player's own pulse; ``click_ns`` is the pace where too little is known."""
    due: list[float] = []
    for part in parts:
        mine = [
            (visits[index].clicks, came, not score.segments[visits[index].segment].phase, index)
            for index in range(part.first, part.end)
            if (came := came_ns[index]) is not None
        ]
        due += [_pulse_at(visits[index].clicks, index, mine, click_ns) for index in range(part.first, part.end)]
    return due


def _pulse_at(at: float, index: int, points: list[tuple[float, float, bool, int]], click_ns: float) -> float:
    """The line through the notes around, the one itself left out; those on a beat if there are enough."""
    near = [one for one in points if one[3] != index and abs(one[0] - at) <= WINDOW_CLICKS]
    on_beat = [one for one in near if one[2]]
    use = on_beat if len(on_beat) >= FEWEST else near
    if not use:
        came = next((one[1] for one in points if one[3] == index), None)
        if came is not None or not points:
            return came or 0.0
        use = [min(points, key=lambda one: abs(one[0] - at))]
    weights = [
        (1 - (abs(one[0] - at) / (WINDOW_CLICKS + 1)) ** 3) ** 3 if abs(one[0] - at) <= WINDOW_CLICKS else 1.0
        for one in use
    ]
    total = sum(weights)
    middle = sum(weight * one[0] for weight, one in zip(weights, use, strict=True)) / total
    height = sum(weight * one[1] for weight, one in zip(weights, use, strict=True)) / total
    square = sum(weight * (one[0] - middle) ** 2 for weight, one in zip(weights, use, strict=True))
    slope = click_ns
    if len(use) >= FEWEST and square > 1e-6:  # noqa: PLR2004 - more than one place
        slope = (
            sum(weight * (one[0] - middle) * (one[1] - height) for weight, one in zip(weights, use, strict=True))
            / square
        )
    return height + slope * (at - middle)


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
