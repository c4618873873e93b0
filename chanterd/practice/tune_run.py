"""One run through a tune or a passage of it: what is heard goes in, every note and ornament comes out.

Live and ``assess`` both use it. Nothing here reads a clock; times are in ns from the beginning of the run.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from typing_extensions import TypedDict

from chanterd.following.tunes.follow import Link, TuneFollower
from chanterd.following.tunes.timeline import due_by_click, due_by_pulse, pace_of, stretches
from chanterd.following.tunes.visits import HeardNotes, Visit, came_ns, readings_of, visits_of
from chanterd.judging.judge import Judged
from chanterd.judging.measure import ExtraMeasured, measure_segment
from chanterd.judging.report import timing
from chanterd.judging.standard import Standard
from chanterd.judging.tunes.judge import judge_ornament, ornament_result
from chanterd.judging.tunes.report import BarTempo, NoteResult, TuneSummary
from chanterd.judging.tunes.summary import summarise_tune
from chanterd.music.drill import Drill
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.ornament import Book
from chanterd.music.score import Score
from chanterd.music.segment import Segment
from chanterd.music.spread import Spread
from chanterd.music.timeline import tempo_map
from chanterd.music.tunes.naming import name_ornaments
from chanterd.music.tunes.passage import Passage
from chanterd.music.tunes.segments import Segments
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, Bpm, Ns

BEGINS_BEFORE_CLICKS = 0.5
"""What is heard more than this before the first note is due is no part of a run."""


class TunePlayed(TypedDict):
    """What became of a run."""

    notes: list[NoteResult]
    """One entry for each time that a note of the tune was reached, in the order of time."""
    summary: TuneSummary


@dataclass(frozen=True, slots=True)
class NotePlayed:
    """One note of the tune, one of the times that it was reached."""

    visit: Visit
    result: NoteResult
    segment: Segment
    """What was to be played."""
    judged: Judged | None
    """Its ornament as it was played; None if it has none."""
    extras: tuple[ExtraMeasured, ...]
    """What was heard before and in it that is no part of the tune."""


@dataclass(frozen=True, slots=True)
class _Timed:
    """What was heard, and when it was due."""

    visits: list[Visit]
    segments: list[Segment]
    came: list[float | None]
    due: list[float]
    firsts: set[int]
    """The visits with which a stretch begins."""
    pace_ns: float
    stops: int


@dataclass(slots=True)
class TuneRun:
    """Follows and judges one run at one tempo."""

    passage: Passage
    book: Book
    standard: Standard
    spread: Spread
    click_bpm: Bpm
    """By the player's own pulse, the tempo to begin with."""
    click_off: bool = False
    asked: Mapping[int, Drill] = field(default_factory=dict)
    """By note of the tune, a stage of the build-up that is played in place of its gracenotes."""
    score: Score = field(init=False)
    _segments: Segments = field(init=False)
    follower: TuneFollower = field(init=False)
    _click: TempoGrid = field(init=False)
    """Its time 0 is the first note of the score."""
    _drills: dict[int, str | None] = field(init=False)

    def __post_init__(self) -> None:
        self._click = TempoGrid(self.click_bpm, Ns(0))
        self._segments = Segments(self.passage, self.book, self.spread, self.click_ns, self.asked)
        self.score = self._segments.score()
        self.follower = TuneFollower(self.score, self.click_ns)
        self._drills = {one.place: one.drill for one in name_ornaments(self.passage.tune, self.book)}
        for note, drill in self.asked.items():
            self._drills[note] = drill.words if drill.ornament in self.book.ornaments else None

    @property
    def click_ns(self) -> float:
        """From one click to the next."""
        return self._click.click_ns

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

    def prepare(self, most: int) -> None:
        """Work out that much of what following will look up, before anybody plays."""
        self.follower.prepare(most)

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
        return self.over()[1]

    def over(self) -> tuple[list[NotePlayed], TunePlayed]:
        """Every note, judged, when nothing more will be heard: each with what was to be played there, and the whole."""
        timed = self._timed(self.follower.chain(), over=True)
        notes = self._notes(timed)
        results = [one.result for one in notes]
        summary = summarise_tune(
            self.passage.tune,
            results,
            [not one.segment.phase for one in notes],
            self._tempi(timed.visits, timed.came, timed.firsts),
            NS_PER_MINUTE / timed.pace_ns,
            click_off=self.click_off,
            restarts=sum(visit.leap for visit in timed.visits[1:]),
            stops=timed.stops,
        )
        return notes, TunePlayed(notes=results, summary=summary)

    def tempo(self) -> Bpm:
        """The tempo that was played, by the player's own pulse."""
        return Bpm(NS_PER_MINUTE / self._timed(self.follower.chain(), over=True).pace_ns)

    def since(self, onset: int) -> list[NotePlayed]:
        """The notes from that onset on, as read by now, the one that sounds among them.

        When they were due is judged by what was heard since then.
        """
        chain: list[Link] = []
        link: Link | None = self.follower.latest
        while link is not None and link.place >= 0 and link.onset >= onset:
            chain.append(link)
            link = link.back
        return self._notes(self._timed(chain[::-1], over=False))

    def _timed(self, chain: list[Link], *, over: bool) -> _Timed:
        """The notes of a chain of links in time; ``over``: nothing more will be heard."""
        follower, heard = self.follower, self._heard
        visits = visits_of(chain, follower.notes, follower.graph, over=over, rings=self._rings())
        segments = self._played(visits)
        came = [came_ns(visit, one, heard) for visit, one in zip(visits, segments, strict=True)]
        pace = self.click_ns
        parts = stretches(visits, came, pace)
        firsts = {part.first for part in parts}
        if self.click_off:
            pace = pace_of(visits, came, firsts.__contains__) or (pace if over else follower.click_ns)
            due = due_by_pulse(self.score, visits, came, parts, pace)
        else:
            due = due_by_click(self.score, visits, came, parts, self._click)
        return _Timed(visits, segments, came, due, firsts, pace, sum(part.stopped for part in parts))

    @property
    def _heard(self) -> HeardNotes:
        return HeardNotes(self.follower.notes, self.follower.at, self.follower.ends)

    def _rings(self) -> float | None:
        """For how many clicks the last note rang, by the player's pace; None: it rings still, or nothing was heard."""
        follower = self.follower
        if not follower.ends or (end := follower.ends[-1]) is None:
            return None
        return (end - follower.at[-1]) / follower.click_ns

    def _played(self, visits: list[Visit]) -> list[Segment]:
        """The segment of each visit, from the note that was due before it."""
        found: list[Segment] = []
        for visit in visits:
            written = visit.leap or not found
            lead = self._segments.lead(visit.segment) if written else found[-1].drill.theme
            found.append(self._segments.of(visit.segment, lead))
        return found

    def _notes(self, timed: _Timed) -> list[NotePlayed]:
        """Each visit held against its segment, and judged if it has gracenotes."""
        found: list[NotePlayed] = []
        readings = readings_of(timed.visits, self._heard, timed.firsts)
        for visit, read in zip(timed.visits, readings, strict=True):
            segment, written = timed.segments[read.rep], self.passage.first + visit.segment
            note = self.passage.tune.notes[written]
            measured = measure_segment(read, segment, round(timed.due[read.rep]) - segment.beat_ns, 0)
            asks = segment.ornamented or written in self.asked
            judged = judge_ornament(measured, segment, self.standard) if asks else None
            result = NoteResult(
                {
                    "note": written,
                    "pass": visit.time_through,
                    "bar": note.bar,
                    "name": note.note.words,
                    **timing(measured.steps[-1]),
                    "ornament": None if judged is None else ornament_result(judged, self._drills.get(written)),
                }
            )
            found.append(NotePlayed(visit, result, segment, judged, measured.extras))
        return found

    def _tempi(self, visits: list[Visit], came: list[float | None], firsts: set[int]) -> list[BarTempo]:
        """How fast each bar was played, from its first note to the first of the next."""
        found: list[BarTempo] = []
        for first, end in pairwise([*sorted(firsts), len(visits)]):
            begun = [
                (visit, at)
                for visit, at in zip(visits[first:end], came[first:end], strict=True)
                if visit.segment in self.score.bars and at is not None
            ]
            played = tempo_map([(visit.clicks, at) for visit, at in begun])
            found += [
                BarTempo(
                    bar=self.passage.notes[visit.segment].bar,
                    at_ms=round(at / NS_PER_MS, 1),
                    click_bpm=round(NS_PER_MINUTE / piece.click_ns, 1),
                )
                for ((visit, at), (after, _)), piece in zip(
                    pairwise(begun), played.pieces if played else (), strict=True
                )
                if after.clicks - visit.clicks >= 1  # a pick-up alone is too short to say
            ]
        return found


def from_beat0(heard: Heard, beat0_ns: Ns) -> Heard:
    """What was heard, its time counted from the beginning of a run."""
    at = Ns(heard.at_ns - beat0_ns)
    if isinstance(heard, Onset):
        return Onset(heard.note, at, heard.bounce)
    return Silence(at) if isinstance(heard, Silence) else heard
