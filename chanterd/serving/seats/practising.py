"""The activity of practising a drill: a run, told to the pages as it goes.

What is played in the count-in, up to half a click before the first lead is due, is no part of the run: the player may
blow, tune up and find the first note.
"""

import logging
from collections import deque
from collections.abc import Callable, Iterable

import mido

from chanterd.following.reading import LEAD
from chanterd.hearing.source import Cue, Phrase
from chanterd.history.recording import Recording
from chanterd.judging.hand import RunPlayed, hand_remarks
from chanterd.judging.measure import StepMeasured
from chanterd.judging.report import RepResult, timing
from chanterd.judging.summary import RunSoFar
from chanterd.judging.teacher import Remarks
from chanterd.music.course import Course
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Heard, Silence
from chanterd.music.note import Note
from chanterd.music.timetable import Timetable
from chanterd.music.units import Ns, ms
from chanterd.practice.exercise import Exercise
from chanterd.practice.feedback.feedback import Feedback
from chanterd.practice.run import RepPreview, RepTold, Run, Told, make_run
from chanterd.practice.tracking import Astray
from chanterd.serving.seats.activity import COUNT_IN_CLICKS, STOPPED, Voice
from chanterd.serving.wire.frames import DoubtFrame, FeedbackFrame, GridFrame, RepFrame, StepFrame
from chanterd.serving.wire.shapes import DrillShown, EndedShown, GridShown, PracticeShown, StepShown

LOG = logging.getLogger(__name__)

FINISHED = "the input ended"
"""Why a run ended that nobody stopped."""

Record = Callable[[Run], Recording]
"""Gives a run its place in the history."""


def sequence_of(course: Course) -> list[DrillShown]:
    """What the reps ask in turn."""
    timetables = course.timetables
    return [_asked(one, timetables[turn - 1].drill.theme) for turn, one in enumerate(timetables)]


def _asked(timetable: Timetable, sounding: Note) -> DrillShown:
    """The drill in words and in time, after a rep whose theme note sounds on."""
    drill, beat = timetable.drill, timetable.beat_ns
    return DrillShown(
        drill=drill.words,
        ornament=drill.ornament.name,
        lead=drill.lead.words,
        theme=drill.theme.words,
        spelled=drill.spelled,
        beat_step=drill.anchor_step,
        lead_offset_ms=ms(-beat),
        lead_sounds=drill.lead != sounding,
        end_offset_ms=ms(timetable.rep_ns - beat),
        steps=[
            StepShown(
                step=index,
                note=step.note.words,
                kind=step.kind.value,
                sounds=step.sounds,
                offset_ms=ms(timetable.offsets_ns[index + 1] - beat),
                length_ms=ms(timetable.lengths_ns[index + 1]),
            )
            for index, step in enumerate(drill.steps)
        ],
    )


def grid_of(grid: TempoGrid, clicks_per_rep: int, ornament_beat: int, *, click_off: bool = False) -> GridShown:
    """The click; the ornament's own beat of rep k is ``k * clicks_per_rep + ornament_beat``."""
    return GridShown(
        beat0_ns=grid.beat0_ns,
        click_bpm=grid.click_bpm,
        count_in=COUNT_IN_CLICKS,
        clicks_per_rep=clicks_per_rep,
        ornament_beat=ornament_beat,
        click_off=click_off,
    )


def practice_of(run: Run, feedback: Feedback, doubt: str = "") -> PracticeShown:
    """A run in progress."""
    layout = run.course.layout
    sequence = sequence_of(run.course)
    return PracticeShown(
        drill=run.exercise.drill.words,
        asked=sequence[0],
        sequence=sequence,
        left_out=run.course.left_out,
        grid=grid_of(run.grid, layout.clicks, round(layout.beat(0)), click_off=run.exercise.click_off),
        standard=run.exercise.standard.name,
        on_beat_ms=run.exercise.standard.on_beat_ms(run.grid.click_bpm),
        spread=run.exercise.spread.held_of_click,
        layout=layout.name,
        reps=list(run.last),
        in_a_row=run.tally.in_a_row,
        clean=run.tally.clean,
        played=run.tally.played,
        ladder=None,
        feedback=feedback.told,
        doubt=doubt,
    )


def cue_for(run: Run) -> Cue:
    """What each rep in turn asks, as it can sound."""
    course, grid = run.course, run.grid
    first_ns = grid.at(course.layout.starts_at) - grid.beat0_ns
    phrases = tuple(_phrase(timetable, first_ns) for timetable in course.timetables)
    return Cue(grid.beat0_ns, course.rep_ns, phrases, click_off=run.exercise.click_off)


def _phrase(timetable: Timetable, first_ns: int) -> Phrase:
    """One rep as it can sound: a step equal to the note before it is left out."""
    drill, offsets = timetable.drill, [Ns(first_ns + offset) for offset in timetable.offsets_ns]
    sounding = [(drill.lead, offsets[0])]
    for step, offset in zip(drill.steps, offsets[1:], strict=True):
        if step.note != sounding[-1][0]:
            sounding.append((step.note, offset))
    notes, onsets = zip(*sounding, strict=True)
    return Phrase(notes, onsets)


RUNS_COMPARED, REPS_COMPARED = 12, 60
"""How many runs, and how many reps of each, the player's hand is compared in."""


class Practising:
    """One run on one seat."""

    corrected = True

    def __init__(self, exercise: Exercise, voice: Voice, record: Record) -> None:
        self._voice = voice
        self._record = record
        beat0_ns = voice.first_beat(exercise.click_bpm)
        self._stamp_ns = beat0_ns
        self.ended: EndedShown | None = None
        """How it ended; None while it goes on."""
        self._take_run(exercise, beat0_ns)

    def _take_run(self, exercise: Exercise, beat0_ns: Ns) -> None:
        self.run = run = make_run(exercise, beat0_ns)
        self._recording = self._record(run)
        self._score = RunSoFar(exercise.drill, exercise.click_bpm, exercise.click_off)
        self._kept: deque[RepResult] = deque(maxlen=REPS_COMPARED)
        self._astray = Astray(run.grid.click_bpm, ms(run.course.rep_ns)) if exercise.click_off else None
        self._doubt = ""
        self.feedback = Feedback(exercise.feedback, run.course, exercise.standard.beat_within_ns(run.grid.click_ns))

    def practice(self) -> PracticeShown:
        """The run as a page draws it."""
        return practice_of(self.run, self.feedback, self._doubt)

    @property
    def cue(self) -> Cue:
        """The drill, for the inputs that perform."""
        return cue_for(self.run)

    def begin(self) -> None:
        """Tell the grid and what is asked."""
        self._publish(self.practice())

    def guess(self, rep: int, word: str) -> None:
        """The player says what a rep was. Raises ChanterdError if that is not asked now."""
        self.feedback.guess(rep, word)
        self._tell_feedback()

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Keep it for the history, and note when it was stamped, before a calibration is taken off."""
        self._stamp_ns = at_ns
        self._recording.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Follow, and tell the steps at once; a rep that this closes is judged and told by the next tick."""
        if isinstance(heard, Silence):
            self._recording.silence(heard.at_ns)
        self._tell(self.run.hear(heard))

    def tick(self, now_ns: Ns) -> bool:
        """Close what is over; a run goes on until it is stopped."""
        self._tell(self.run.tick(now_ns))
        return True

    def finish(self) -> None:
        """Nothing more will come: close every rep that was begun, and end."""
        self._tell(self.run.finish())
        self._close(FINISHED)

    def end(self, why: str = STOPPED) -> None:
        """Stopped: judge a rep that was played to its theme note, not one broken off in the middle, and end."""
        self._tell(self.run.verdicts())
        whole = [one for one in self.run.finish() if isinstance(one, RepTold) and one.steps[-1].onset_ns is not None]
        self._tell(whole)
        self._close(why)

    def _close(self, why: str) -> None:
        """Tell what was kept back, then that it is over."""
        self.feedback.end()
        self._tell_feedback()
        self._recording.end(why)
        self._publish(None)

    def _publish(self, practice: PracticeShown | None) -> None:
        run, seat_id = self.run, self._voice.seat
        if practice is None:
            LOG.info("Seat %s stopped: %d of %d reps clean.", seat_id, run.tally.clean, run.tally.played)
        else:
            asked = (seat_id, run.exercise.drill.words, run.grid.click_bpm, run.exercise.standard.name)
            LOG.info("Seat %s began %s at %g clicks a minute, standard '%s'.", *asked)
        frame = GridFrame(kind="grid", seat=seat_id, practice=practice)
        if practice is None:
            remarks = self._remarks() if run.tally.played else None
            kept = run.kept if self._astray is None or run.kept is None else self._astray.doubted(run.kept)
            self.ended = EndedShown(practice=self.practice(), continuation=kept, remarks=remarks)
            if kept is not None:
                frame["continuation"] = kept
            if remarks is not None:
                frame["remarks"] = remarks
        self._voice.publish(frame)

    def _remarks(self) -> Remarks:
        """What a teacher would write under the run, and about the hand over all that was played on this seat."""
        run, played = self.run, self._voice.played
        played.append(RunPlayed(run.exercise.drill.ornament.name, run.grid.click_bpm, list(self._kept)))
        del played[:-RUNS_COMPARED]
        found, told = self._score.summary()["remarks"], hand_remarks(played)
        found["steady"] += told["steady"]
        found["unsteady"] += told["unsteady"]
        return found

    def _tell_feedback(self) -> None:
        if not self.feedback.schedule.tells_all:
            told = self.feedback.told
            self._voice.publish(FeedbackFrame(kind="feedback", seat=self._voice.seat, feedback=told))

    def _tell_doubt(self, rep: RepResult) -> None:
        if self._astray is None:
            return
        self._astray.take(rep)
        before, self._doubt = self._doubt, self._astray.said
        if self._doubt != before:
            self._voice.publish(DoubtFrame(kind="doubt", seat=self._voice.seat, doubt=self._doubt))

    def _tell(self, told: Iterable[Told]) -> None:
        for one in told:
            if isinstance(one, RepTold):
                for step in one.steps:
                    self._tell_step(step, final=True)
                self._tell_rep(one)
            elif isinstance(one, RepPreview):
                if self.feedback.schedule.tells_all:  # what is kept back has no preview either
                    self._tell_verdict(one, final=False)
            else:
                self._tell_step(one.step, final=False)

    def _tell_step(self, step: StepMeasured, *, final: bool) -> None:
        frame = StepFrame(
            kind="step",
            seat=self._voice.seat,
            rep=step.rep,
            final=final,
            heard_ns=self._stamp_ns,
            sent_ns=self._voice.clock(),
            step=step.step,
            note=step.note.words,
            step_kind="lead" if step.kind is None or step.step == LEAD else step.kind.value,
            **timing(step),
        )
        self._voice.publish(frame)

    def _tell_rep(self, told: RepTold) -> None:
        self.feedback.take(told)
        self._score.add(told.result)
        self._kept.append(told.result)
        self._tell_feedback()  # first, so that no page shows for a moment what is kept back
        self._tell_doubt(told.result)
        self._tell_verdict(told, final=True)
        self._recording.rep(told.result)

    def _tell_verdict(self, told: RepTold | RepPreview, *, final: bool) -> None:
        frame = RepFrame(
            kind="rep",
            seat=self._voice.seat,
            final=final,
            in_a_row=told.tally.in_a_row,
            clean_count=told.tally.clean,
            played_count=told.tally.played,
            heard_ns=self._stamp_ns,
            sent_ns=self._voice.clock(),
            **told.result,
        )
        self._voice.publish(frame)
