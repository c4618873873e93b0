"""One run through a tune or a passage of it: what is heard goes in, every note and ornament comes out.

Live and ``assess`` both use it. Nothing here reads a clock; times are in ns from the beginning of the run.
"""

from dataclasses import dataclass, field

from typing_extensions import TypedDict

from chanterd.following.reading import LEAD, StepState
from chanterd.following.tunes.follow import Link, TuneFollower
from chanterd.following.tunes.timeline import due_by_click, due_by_pulse, pace_of, stretches
from chanterd.following.tunes.visits import Visit, visits_of
from chanterd.judging.report import STATES
from chanterd.judging.standard import Standard
from chanterd.judging.tunes.judge import HeardNotes, judge_ornament, measured_steps
from chanterd.judging.tunes.report import BarTempo, NoteResult, TuneSummary
from chanterd.judging.tunes.summary import summarise_tune
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.ornament import Book
from chanterd.music.score import Score
from chanterd.music.segment import Segment
from chanterd.music.spread import Spread
from chanterd.music.tunes.naming import name_ornaments
from chanterd.music.tunes.passage import Passage
from chanterd.music.tunes.segments import Segments
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Ns, ms

BEGINS_BEFORE_CLICKS = 0.5
"""What is heard more than this before the first note is due is no part of a run."""


class TunePlayed(TypedDict):
    """What became of a run."""

    notes: list[NoteResult]
    """One entry for each time that a note of the tune was reached, in the order of time."""
    summary: TuneSummary


@dataclass(slots=True)
class TuneRun:
    """Follows and judges one run at one tempo."""

    passage: Passage
    book: Book
    standard: Standard
    spread: Spread
    click_ns: float
    click_off: bool = False
    score: Score = field(init=False)
    _segments: Segments = field(init=False)
    follower: TuneFollower = field(init=False)
    _drills: dict[int, str | None] = field(init=False)
    _closed_from: int = field(init=False, default=-1)
    """The first onset of the note that was not over when ``closed`` was last asked."""

    def __post_init__(self) -> None:
        self._segments = Segments(self.passage, self.book, self.spread, self.click_ns)
        self.score = self._segments.score()
        self.follower = TuneFollower(self.score, self.click_ns)
        self._drills = {one.place: one.drill for one in name_ornaments(self.passage.tune, self.book)}

    @property
    def at(self) -> tuple[int, int] | None:
        """Where the player is: the note of the tune as written, and the step of it; None before anything was found."""
        place = self.follower.latest.place
        if place < 0:
            return None
        return self.note_at(place), self.follower.graph.events[place].step

    def note_at(self, place: int) -> int:
        """The melody note, in the tune as written, of what the follower read at that place."""
        return self.passage.first + self.follower.graph.events[place].segment

    def before_it(self, heard: Heard, begins_ns: float) -> bool:
        """Whether that is no part of the run yet, whose first note is due at ``begins_ns``: the player tries out."""
        return heard.at_ns < begins_ns - BEGINS_BEFORE_CLICKS * self.click_ns

    def hear(self, heard: Heard) -> None:
        """Take what was heard, in order of time."""
        if isinstance(heard, Onset):
            if heard.bounce:
                self.follower.bounce()
            else:
                self.follower.hear(heard.note, heard.at_ns)
        elif isinstance(heard, Silence):
            self.follower.silence(heard.at_ns)

    def found(self) -> TunePlayed:
        """Every note so far, judged."""
        follower = self.follower
        heard = HeardNotes(follower.notes, follower.at, follower.ends)
        visits = visits_of(follower.chain(), follower.notes, follower.graph, over=True)
        segments = self._played(visits)
        came = self._came(visits, segments, heard)
        pace = self.click_ns
        parts = stretches(visits, came, pace)
        firsts = {part.first for part in parts}
        if self.click_off:
            pace = pace_of(visits, came, firsts.__contains__) or pace
            due = due_by_pulse(self.score, visits, came, parts, pace)
        else:
            due = due_by_click(self.score, visits, came, parts, self.click_ns)
        notes = self._notes(visits, segments, heard, due, firsts)
        summary = summarise_tune(
            self.passage.tune,
            notes,
            [not segment.phase for segment in segments],
            self._tempi(visits, came, firsts),
            NS_PER_MINUTE / pace,
            click_off=self.click_off,
            restarts=sum(visit.leap for visit in visits[1:]),
            stops=sum(part.stopped for part in parts),
        )
        return TunePlayed(notes=notes, summary=summary)

    def closed(self) -> list[NoteResult]:
        """The notes with gracenotes that are over since this was last asked, as read by now; their time is not judged.

        When they were due is known only when more has been heard, so that nothing is called early or late here.
        """
        chain: list[Link] = []
        link: Link | None = self.follower.latest
        while link is not None and link.place >= 0 and link.onset >= self._closed_from:
            chain.append(link)
            link = link.back
        if chain and chain[-1].onset == self._closed_from:  # what is left out before it has been given already
            chain[-1] = chain[-1]._replace(passed=())
        visits = visits_of(chain[::-1], self.follower.notes, self.follower.graph)
        segments = self._played(visits)
        heard = HeardNotes(self.follower.notes, self.follower.at, self.follower.ends)
        came = self._came(visits, segments, heard)
        firsts = [onset for visit in visits[-1:] for onset in visit.onsets if onset is not None]
        if firsts and len(visits) > 1:
            self._closed_from = firsts[0]
        due = [at or 0.0 for at in came]
        notes = self._notes(visits, segments, heard, due, set())
        return [note for note in notes[:-1] if note["ornament"] is not None]

    def _played(self, visits: list[Visit]) -> list[Segment]:
        """The segment of each visit, from the note that was due before it."""
        found: list[Segment] = []
        for visit in visits:
            written = visit.leap or not found
            lead = self._segments.lead(visit.segment) if written else found[-1].drill.theme
            found.append(self._segments.of(visit.segment, lead))
        return found

    @staticmethod
    def _came(visits: list[Visit], segments: list[Segment], heard: HeardNotes) -> list[float | None]:
        """When each note came, by its own onset or, where it has none, by its gracenotes."""
        found: list[float | None] = []
        for visit, segment in zip(visits, segments, strict=True):
            came: float | None = None
            for step in range(len(visit.onsets) - 1, -1, -1):
                onset = visit.onsets[step]
                if onset is not None:
                    came = float(heard.at[onset] - segment.from_beat_ns[step])
                    break
            found.append(came)
        return found

    def _notes(
        self,
        visits: list[Visit],
        segments: list[Segment],
        heard: HeardNotes,
        due: list[float],
        firsts: set[int],
    ) -> list[NoteResult]:
        found: list[NoteResult] = []
        before = None
        for index, visit in enumerate(visits):
            segment, written = segments[index], self.passage.first + visit.segment
            note = self.passage.tune.notes[written]
            steps = measured_steps(visit, segment, heard, due[index])
            theme = steps[-1]
            if index in firsts:
                before = None
            result = NoteResult(
                {
                    "note": written,
                    "pass": visit.time_through,
                    "bar": note.bar,
                    "name": note.note.words,
                    "state": STATES[theme.state],
                    "expected_ms": ms(theme.expected_ns),
                    "onset_ms": None if theme.onset_ns is None else ms(theme.onset_ns),
                    "deviation_ms": None if theme.deviation_ns is None else ms(theme.deviation_ns),
                    "length_ms": None if theme.length_ns is None else ms(theme.length_ns),
                    "ornament": None,
                }
            )
            if theme.played_note is not None:
                result["played_note"] = theme.played_note.words
            if segment.ornamented:
                result["ornament"] = judge_ornament(
                    visit,
                    segment,
                    heard,
                    due[index],
                    before,
                    self.standard,
                    drill=self._drills.get(written),
                )
            found.append(result)
            played = theme.state in (StepState.PLAYED, StepState.WRONG_NOTE)
            before = theme._replace(step=LEAD, kind=None) if played else None
        return found

    def _tempi(self, visits: list[Visit], came: list[float | None], firsts: set[int]) -> list[BarTempo]:
        """How fast each bar was played, from its first note to the first of the next."""
        found: list[BarTempo] = []
        since: tuple[float, float, int] | None = None
        for index, visit in enumerate(visits):
            at = came[index]
            if index in firsts:
                since = None
            if visit.segment not in self.score.bars or at is None:
                continue
            if since is not None and visit.clicks - since[0] >= 1:
                bpm = NS_PER_MINUTE * (visit.clicks - since[0]) / (at - since[1])
                found.append(BarTempo(bar=since[2], at_ms=round(since[1] / NS_PER_MS, 1), click_bpm=round(bpm, 1)))
            since = (visit.clicks, at, self.passage.notes[visit.segment].bar)  # a pick-up alone is too short to say
        return found


def from_beat0(heard: Heard, beat0_ns: Ns) -> Heard:
    """What was heard, its time counted from the beginning of a run."""
    at = Ns(heard.at_ns - beat0_ns)
    if isinstance(heard, Onset):
        return Onset(heard.note, at, heard.bounce)
    return Silence(at) if isinstance(heard, Silence) else heard
