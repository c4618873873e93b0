"""The times through a passage that is played over and over, and the ornaments in them, each as soon as it is over.

A round is one time through. It is over when the next one has begun, or when its last note has lasted its time. One
that was broken off and begun once more is not clean; a rest between two rounds is none. Times are ns from the run's
beginning.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from chanterd.following.closing import is_over
from chanterd.following.reading import ExtraKind
from chanterd.judging.verdict import Verdict
from chanterd.music.units import Ns
from chanterd.practice.passage.round_words import round_said
from chanterd.practice.run import Tally
from chanterd.practice.tune_run import NotePlayed, TuneRun

READ_AGAIN = 48
"""Of the open round, at least this many notes are read again with each new one: the next may show that a bar was begun
once more."""
RINGS_CLICKS = 1.0
"""How much longer than written the last note of a round may sound, before the round is over without another."""


@dataclass(frozen=True, slots=True)
class OrnamentPlayed:
    """An ornament is over: the note after it has begun, or its own has sounded for a moment."""

    note: NotePlayed
    round: int


@dataclass(frozen=True, slots=True)
class RoundPlayed:
    """A round is over."""

    round: int
    """From 0."""
    clean: bool
    said: str
    """The one sentence for the player."""
    clean_count: int
    played_count: int
    in_a_row: int
    """The counts with this round."""


PassageEvent = OrnamentPlayed | RoundPlayed


@dataclass(slots=True)
class Rounds:
    """Takes a run apart into rounds, while it is played."""

    run: TuneRun
    tally: Tally = field(init=False, default_factory=Tally)
    _round: int = field(init=False, default=0)
    _from: int = field(init=False, default=0)
    """The first onset of the open round."""
    _given: int = field(init=False, default=0)
    """How many of its notes are over and have been given."""
    _earlier: list[NotePlayed] = field(init=False, default_factory=list)
    """Notes of the open round that were over long ago."""
    _seen: tuple[object, bool] | None = field(init=False, default=None)
    """What the last reading was made of."""
    _ends: frozenset[int] = field(init=False)
    """The notes from which the passage begins once more; more than one only where its endings do."""

    def __post_init__(self) -> None:
        edges = self.run.score.edges
        self._ends = frozenset(index for index, ways in enumerate(edges) if any(way.loops for way in ways))

    def tick(self, now_ns: Ns) -> list[PassageEvent]:
        """What is over by now and was not before."""
        follower = self.run.follower
        if follower.latest.place < 0:
            return []
        events: list[PassageEvent] = []
        seen = (follower.latest, is_over(follower.so_far(), now_ns))
        if seen != self._seen:
            self._seen = seen
            events += self._read(settled=seen[1])
        if self._rung_out(now_ns):
            events += self._close_open()
        return events

    def finish(self) -> list[PassageEvent]:
        """Nothing more is heard: a round that was played to its last note counts."""
        notes = self._notes()
        if not notes or not self._at_end(notes):
            return list(self._give(notes, len(notes)))
        return self._close_open()

    def _read(self, *, settled: bool) -> Iterator[PassageEvent]:
        notes = self._notes()
        while True:
            end = next((index for index, one in enumerate(notes) if index and one.visit.again), None)
            if end is None or not _established(notes[end:]):
                break
            yield from self._close(notes[:end], notes[end].visit.by)
            notes = notes[end:]
        yield from self._give(notes, len(notes) if settled else len(notes) - 1)
        self._set_aside(notes)

    def _notes(self) -> list[NotePlayed]:
        """The notes of the open round and of what comes after it."""
        notes = self.run.since(self._from)
        # What was left out at the end of the round before is read again with the first onset of this one.
        again = max(
            (index for index, one in enumerate(notes) if one.visit.again and one.visit.by == self._from), default=0
        )
        return notes[again:]

    def _give(self, notes: Sequence[NotePlayed], end: int) -> Iterator[OrnamentPlayed]:
        for note in notes[self._given : end]:
            if note.judged is not None:
                yield OrnamentPlayed(note, self._round)
        self._given = max(self._given, end)

    def _close(self, notes: Sequence[NotePlayed], next_from: int) -> Iterator[PassageEvent]:
        yield from self._give(notes, len(notes))
        notes = [*self._earlier, *notes]
        broken_off = notes[-1].visit.segment not in self._ends
        left = any(one.visit.leap for one in notes[1:])
        clean = not broken_off and not left and all(_is_clean(one) for one in notes)
        self.tally.add(Verdict(clean, ()))
        said = round_said(self.run.passage, notes, self.tally.in_a_row, broken_off=broken_off, left=left)
        counts = self.tally
        yield RoundPlayed(self._round, clean, said, counts.clean, counts.played, counts.in_a_row)
        self._round, self._from, self._given, self._earlier = self._round + 1, next_from, 0, []

    def _set_aside(self, notes: Sequence[NotePlayed]) -> None:
        """Keep what was over long ago as it was read, so that a long tune is not read from its beginning each time."""
        cut = next((at for at in range(READ_AGAIN, len(notes)) if notes[at].visit.by != notes[at - 1].visit.by), None)
        if cut is None or len(notes) < 2 * READ_AGAIN:
            return
        self._earlier += notes[:cut]
        self._from, self._given = notes[cut].visit.by, self._given - cut

    def _close_open(self) -> list[PassageEvent]:
        notes = self._notes()
        return list(self._close(notes, len(self.run.follower.at))) if notes else []

    def _at_end(self, notes: Sequence[NotePlayed]) -> bool:
        """Whether the last note of the round sounds or has sounded."""
        last = notes[-1]
        return last.visit.segment in self._ends and last.result["state"] != "missing"

    def _rung_out(self, now_ns: Ns) -> bool:
        """Whether the last note of the round has lasted longer than it may."""
        follower, score = self.run.follower, self.run.score
        latest = follower.latest
        event = follower.graph.events[latest.place]
        if latest.onset < self._from or not event.theme or event.segment not in self._ends:
            return False
        rings = next(edge.gap for edge in score.edges[event.segment] if edge.loops) + RINGS_CLICKS
        return now_ns - follower.at[-1] > rings * follower.click_ns


def _is_clean(note: NotePlayed) -> bool:
    if note.judged is not None and not note.judged.verdict.clean:
        return False
    if note.result["state"] in ("missing", "wrong note"):
        return False
    return note.judged is not None or not any(one.kind is ExtraKind.EXTRA_NOTE for one in note.extras)


def _established(notes: Sequence[NotePlayed]) -> bool:
    """Whether a round has surely begun: more than its first note was heard."""
    return sum(onset is not None for one in notes for onset in one.visit.onsets) > 1
