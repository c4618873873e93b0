"""A run: one player, one score, one tempo. Onsets in, step and rep events out. Live and ``assess`` both use it.

Nothing here reads a clock; ``tick`` takes the time. Times are on the daemon's clock, in ns.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from chanterd.following.follow import Follower
from chanterd.following.preview import Preview
from chanterd.following.pulse import OwnPulse
from chanterd.following.reading import LEAD, Finding, SegmentRead
from chanterd.judging.continuation import Beat, Continuation, continuation
from chanterd.judging.judge import Judge
from chanterd.judging.measure import SegmentMeasured, StepMeasured, measure_segment, measure_step
from chanterd.judging.report import RepResult, rep_result
from chanterd.judging.shifted import moved, moved_rep
from chanterd.judging.verdict import Verdict
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Onset, Silence
from chanterd.music.score import Score
from chanterd.music.segment import Segment
from chanterd.music.units import NS_PER_MS, Ns, ms
from chanterd.practice.exercise import Exercise

KEPT_REPS = 12
"""How many reps a page shows, so that a habit becomes visible."""

LATE_MESSAGES_NS = 100 * NS_PER_MS
"""How long a tick waits for messages that are stamped but still on their way, as after a stall."""


COUNT_IN_CLICKS = 4
"""Clicks before beat 0."""

BEGINS_AT_BEAT = -0.5
"""Notes before this beat belong to no rep: the player tries the chanter during the count-in."""


@dataclass(frozen=True, slots=True)
class StepEvent:
    """The present reading of a step."""

    step: StepMeasured
    final: bool


@dataclass(slots=True)
class Tally:
    """How many reps were played and clean, and how many clean ones are in a row now."""

    played: int = 0
    clean: int = 0
    in_a_row: int = 0

    def add(self, verdict: Verdict) -> None:
        """Count one rep that was not skipped."""
        self.played += 1
        self.clean += verdict.clean
        self.in_a_row = self.in_a_row + 1 if verdict.clean else 0


@dataclass(frozen=True, slots=True)
class RepEvent:
    """A rep is over: its steps for good, and the verdict."""

    steps: tuple[StepMeasured, ...]
    """The lead first, the theme last."""
    result: RepResult
    tally: Tally
    """The counts with this rep, and without any rep closed after it."""


@dataclass(frozen=True, slots=True)
class RepPreview:
    """The verdict on a rep that seems to be over, as read so far; its ``RepEvent`` follows and may differ."""

    result: RepResult
    tally: Tally
    """The counts if the verdict stays."""


RunEvent = StepEvent | RepPreview | RepEvent

Closed = tuple[SegmentRead, StepMeasured | None]
"""A rep that is over, and the lead of the next one as read at that moment."""


def sentence(verdict: Verdict, *, skipped: bool, in_a_row: int) -> str:
    """The one sentence for the player after a rep."""
    if skipped:
        return "Not played."
    if verdict.faults:
        return verdict.faults[0].said
    return f"Clean. {in_a_row} in a row." if in_a_row > 1 else "Clean."


@dataclass(slots=True)
class Run:
    """The state of one run."""

    exercise: Exercise
    grid: TempoGrid
    at_once: bool = True
    """Whether there is an event for each step as it sounds; otherwise only for reps, with the same results."""
    score: Score = field(init=False)
    tally: Tally = field(init=False, default_factory=Tally)
    last: deque[RepResult] = field(init=False, default_factory=lambda: deque(maxlen=KEPT_REPS))
    _follower: Follower = field(init=False)
    _pulse: OwnPulse | None = field(init=False)
    _beats: list[Beat] = field(init=False, default_factory=list)
    _judge: Judge = field(init=False)
    _preview: Preview = field(init=False)
    _begins_ns: Ns = field(init=False)
    _next_lead: StepMeasured | None = field(init=False, default=None)
    _closed: list[Closed] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        self.score = self.exercise.score()
        self._pulse = OwnPulse(self.score, self.grid) if self.exercise.click_off else None
        self._follower = Follower(self.score, self.grid, expectation=self._pulse, at_once=self.at_once)
        self._preview = Preview(self._follower)
        self._judge = Judge(self.exercise.standard, self.grid.click_ns)
        self._begins_ns = self.grid.at(BEGINS_AT_BEAT)

    def hear(self, heard: Heard) -> list[StepEvent]:
        """Take what was heard, in order of time; ignore what was heard too early to belong to a rep.

        Steps only: the reps that it closes come out of ``tick`` or ``verdicts``, so that no step has to wait
        until a rep is judged.
        """
        if heard.at_ns < self._begins_ns:
            return []
        if isinstance(heard, Onset):
            findings = self._follower.hear(heard)
        elif isinstance(heard, Silence):
            findings = self._follower.silence(heard.at_ns)
        else:
            return []
        return self._steps(findings) if findings else []

    def tick(self, now_ns: Ns) -> list[RunEvent]:
        """Close the reps that are over, allowing for messages still on their way, and judge what is closed."""
        findings = self._follower.tick(Ns(now_ns - LATE_MESSAGES_NS))
        events: list[RunEvent] = [*self._steps(findings), *self.verdicts()] if findings or self._closed else []
        read = self._preview.read(now_ns) if self.at_once else None
        return events if read is None else events + self._previewed(read)

    def finish(self) -> list[RunEvent]:
        """End of the notes: close every rep that was begun."""
        return [*self._steps(self._follower.finish()), *self.verdicts()]

    def verdicts(self) -> list[RepEvent]:
        """Judge the reps that are closed and not judged yet."""
        closed, self._closed = self._closed, []
        return [self._judged(*one) for one in closed]

    @property
    def continuation(self) -> Continuation | None:
        """How the player kept the tempo; None with the click on, which would keep it for them."""
        if not self.exercise.click_off:
            return None
        return continuation(self._beats, ms(self.score.turn_ns), self.grid.click_bpm, click_off=True)

    def _steps(self, findings: Iterable[Finding]) -> list[StepEvent]:
        """Measure the steps that were found; set the closed reps aside, each with the next lead as known then."""
        events: list[StepEvent] = []
        for finding in findings:
            if isinstance(finding, SegmentRead):
                self._closed.append((finding, self._next_lead))
                continue
            step = measure_step(finding, *self._placed(finding.rep))
            if self._pulse is not None:
                step = moved(step, self._pulse.moved_ns(self._follower.open_rep, step.rep, step.step))
            if finding.step == LEAD:
                self._next_lead = step
            events.append(StepEvent(step, final=False))
        return events

    def _previewed(self, read: SegmentRead) -> list[RunEvent]:
        """The verdict so far; none on a rep of which only the first note was played, which is no attempt yet."""
        rep = self._measured(read)
        if rep.skipped:
            return []
        judged = self._judge.look(rep, self.score.segment(read.rep), self._next_lead)
        tally = replace(self.tally)
        tally.add(judged.verdict)
        return [RepPreview(rep_result(judged, sentence(judged.verdict, skipped=False, in_a_row=tally.in_a_row)), tally)]

    def _judged(self, read: SegmentRead, next_lead: StepMeasured | None) -> RepEvent:
        rep = self._measured(read)
        judged = self._judge.judge(rep, self.score.segment(read.rep), next_lead)
        verdict = judged.verdict
        if not rep.skipped:
            self.tally.add(verdict)
        result = rep_result(judged, sentence(verdict, skipped=rep.skipped, in_a_row=self.tally.in_a_row))
        self.last.append(result)
        if self.exercise.click_off and rep.anchor.onset_ns is not None:
            self._beats.append((rep.rep, ms(rep.anchor.onset_ns)))
        return RepEvent((rep.lead, *rep.steps), result, replace(self.tally))

    def _placed(self, turn: int) -> tuple[Segment, Ns, Ns]:
        """What is to be played in a turn, when it starts from beat 0, and beat 0 itself."""
        return self.score.segment(turn), self.grid.since_ns(self.score.start(turn)), self.grid.beat0_ns

    def _measured(self, read: SegmentRead) -> SegmentMeasured:
        rep = measure_segment(read, *self._placed(read.rep))
        if self._pulse is None:
            return rep
        return moved_rep(rep, Ns(round(read.shift_ns)), Ns(round(read.shift_ns + read.lead_shift_ns)))


def make_run(exercise: Exercise, beat0_ns: Ns, *, at_once: bool = True) -> Run:
    """Start a run whose beat 0 is at ``beat0_ns``."""
    return Run(exercise, TempoGrid(exercise.click_bpm, beat0_ns), at_once)
