"""The segments of a tune at a tempo: each melody note with its gracenotes, laid out around the time it is written at.

The step that belongs on the beat is expected at the time as written, the others before and behind it, as long as in a
drill at that tempo; where the notes on either side leave less room, all of them are shortened alike. A segment reaches
from a click before its note to a click after it, like a rep of two clicks, which the judge's limits are made for; so
segments of a tune overlap, and the note before belongs to the segment before.
"""

from collections.abc import Mapping

from chanterd.music.drill import Drill
from chanterd.music.note import Note
from chanterd.music.ornament import Book
from chanterd.music.score import Score
from chanterd.music.segment import Segment, laid_out
from chanterd.music.spread import Spread
from chanterd.music.tunes.passage import Passage, phase_of
from chanterd.music.tunes.played_before import notes_before
from chanterd.music.tunes.spelled import spelled_drill
from chanterd.music.units import NS_PER_MINUTE, Bpm

MOST_OF_NOTE = 0.7
"""How much of a melody note its gracenotes may take: the rest of it is to be heard. Our own choice."""


class Segments:
    """The segments of a passage, from whatever note they are played. Its notes count from 0."""

    def __init__(
        self, passage: Passage, book: Book, spread: Spread, click_ns: float, asked: Mapping[int, Drill] | None = None
    ) -> None:
        """``asked``: by note of the tune, a stage of the build-up in place of what its gracenotes are by the book."""
        self._passage = passage
        self._asked = asked or {}
        self._book = book
        self._spread = spread
        self._click_ns = click_ns
        tune = passage.tune
        self._room = [float(end - at) for end, at in zip(passage.ends, passage.ats, strict=True)]
        self._made: dict[tuple[int, Note | None], Segment] = {}
        self._befores = notes_before(tune)

    def score(self) -> Score:
        """The passage as it is followed, its first note on click 1: each segment from the note before it as written."""
        passage = self._passage
        origin = float(passage.ats[passage.first])
        count = range(len(passage.notes))
        return Score(
            segments=tuple(self.of(index, self.lead(index)) for index in count),
            starts=tuple(float(passage.ats[passage.first + index]) - origin for index in count),
            length=passage.length,
            edges=passage.edges,
            bars=passage.bars,
        )

    def lead(self, index: int) -> Note | None:
        """The note that is played before that one, as written; None before the first."""
        tune, befores = self._passage.tune, self._befores[self._passage.first + index]
        return tune.notes[befores[0]].note if befores else None

    def of(self, index: int, lead: Note | None) -> Segment:
        """The segment of that melody note, played from ``lead``; None: nothing sounds before it."""
        key = (index, lead)
        if key not in self._made:
            note = self._passage.notes[index]
            drill = self._asked.get(self._passage.first + index)
            drill = drill or spelled_drill(self._book, lead, note.gracenotes, note.note)
            self._made[key] = self._laid_out(drill, index)
        return self._made[key]

    def _laid_out(self, drill: Drill, index: int) -> Segment:
        click_ns, place = self._click_ns, self._passage.first + index
        before = self._room[place - 1] if place else 1.0
        return laid_out(
            drill,
            Bpm(NS_PER_MINUTE / click_ns),
            self._spread,
            beat_ns=click_ns,
            lasts_ns=2 * click_ns,
            rooms_ns=(MOST_OF_NOTE * before * click_ns, MOST_OF_NOTE * self._room[place] * click_ns),
            phase=phase_of(self._passage.tune, place),
        )
