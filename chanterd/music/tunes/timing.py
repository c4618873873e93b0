"""When the gracenotes of a tune are expected: around the time at which their melody note is written.

The step that belongs on the beat is expected at the time as written, the others before and behind it, as long as in a
drill at that tempo; where the notes on either side leave less room, all of them are shortened alike.
"""

from dataclasses import dataclass

from chanterd.music.drill import Drill
from chanterd.music.note import Note
from chanterd.music.ornament import Book
from chanterd.music.spread import Spread
from chanterd.music.tunes.played_before import notes_before
from chanterd.music.tunes.score import Score, clicks
from chanterd.music.tunes.spelled import spelled_drill

MOST_OF_NOTE = 0.7
"""How much of a melody note its gracenotes may take: the rest of it is to be heard."""


@dataclass(frozen=True, slots=True)
class Placed:
    """One ornament of a tune at a tempo."""

    drill: Drill
    offsets_ns: tuple[float, ...]
    """By step, the melody note last, from the time at which it is written."""


class Ornaments:
    """The ornaments of a score, from whatever note they are played."""

    def __init__(self, score: Score, book: Book, spread: Spread, click_ns: float) -> None:
        self._score = score
        self._book = book
        self._spread = spread
        self._click_ns = click_ns
        tune = score.tune
        ends = [float(clicks(tune, note.start + note.lasts)) for note in tune.notes]
        self._room = [end - float(at) for end, at in zip(ends, score.ats, strict=True)]
        self._placed: dict[tuple[int, Note | None], Placed] = {}
        self._befores = notes_before(tune)

    def lead(self, owner: int) -> Note | None:
        """The note that is played before that one, as written; None before the first."""
        before = self._befores[owner]
        return self._score.tune.notes[before[0]].note if before else None

    def of(self, owner: int, lead: Note | None) -> Placed | None:
        """The ornament of that melody note, played from ``lead``; None if it has no gracenotes."""
        note = self._score.tune.notes[owner]
        if not note.gracenotes:
            return None
        key = (owner, lead)
        if key not in self._placed:
            drill = spelled_drill(self._book, lead, note.gracenotes, note.note)
            self._placed[key] = Placed(drill, self._offsets(drill, owner))
        return self._placed[key]

    def graces_ns(self) -> tuple[float, ...]:
        """By event of the score, how much later it is expected than its melody note is written."""
        found: list[float] = []
        for event in self._score.events:
            placed = self.of(event.owner, self.lead(event.owner))
            found.append(0.0 if placed is None else placed.offsets_ns[event.step])
        return tuple(found)

    def _offsets(self, drill: Drill, owner: int) -> tuple[float, ...]:
        lengths = [
            sum(self._spread.length_ns(kind, self._click_ns) for kind in step.stands_for) for step in drill.steps
        ]
        lengths = lengths[:-1]
        anchor = drill.anchor_step
        before = self._room[owner - 1] if owner else 1.0
        fits = min(
            _fit(sum(lengths[:anchor]), before * self._click_ns), _fit(sum(lengths[anchor:]), self._after(owner))
        )
        starts = -fits * sum(lengths[:anchor])
        return tuple(starts + fits * sum(lengths[:index]) for index in range(len(lengths) + 1))

    def _after(self, owner: int) -> float:
        return self._room[owner] * self._click_ns


def _fit(needed_ns: float, room_ns: float) -> float:
    """By how much steps must be shortened to leave enough of a note."""
    return min(1.0, MOST_OF_NOTE * room_ns / needed_ns) if needed_ns else 1.0
