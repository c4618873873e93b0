"""A run while it is played on a seat: followed and judged, recorded in the history, and sent to the pages.

What is played in the count-in, up to half a click before the first lead is due, is no part of the run: the player may
blow, tune up and find the first note.
"""

import logging
from collections import deque
from collections.abc import Callable, Iterable

import mido

from chanterd.following.reading import LEAD
from chanterd.history.recording import Recording
from chanterd.judging.hand import hand_remarks, run_played
from chanterd.judging.measure import StepMeasured
from chanterd.judging.report import RepResult, timing
from chanterd.judging.summary import RunSoFar
from chanterd.judging.teacher import Remarks
from chanterd.music.heard import Heard, Silence
from chanterd.music.units import Ns, ms
from chanterd.practice.exercise import Exercise
from chanterd.practice.feedback.feedback import Feedback
from chanterd.practice.run import RepEvent, RepPreview, Run, RunEvent, make_run
from chanterd.practice.tracking import Tracking
from chanterd.serving.seats.activity import Output
from chanterd.serving.wire.frames import DoubtFrame, FeedbackFrame, GridFrame, RepFrame, StepFrame
from chanterd.serving.wire.segments import SegmentFrame, segment_view
from chanterd.serving.wire.shapes import EndedShown, LadderShown, PracticeShown
from chanterd.serving.wire.views import practice_view

LOG = logging.getLogger(__name__)

RUNS_COMPARED, REPS_COMPARED = 12, 60
"""How many runs, and how many reps of each, the player's hand is compared in."""

Record = Callable[[Run], Recording]
"""Gives a run its place in the history."""


def go_on(_: RepEvent) -> bool:
    """For a run that no rep ends."""
    return True


class LiveRun:
    """One run on one seat."""

    def __init__(
        self,
        exercise: Exercise,
        beat0_ns: Ns,
        output: Output,
        record: Record,
        judged: Callable[[RepEvent], bool] = go_on,
    ) -> None:
        """``judged`` hears of every rep after the pages have; False: nothing more of this run counts."""
        self.run = run = make_run(exercise, beat0_ns)
        self.feedback = Feedback(exercise.feedback, run.score, exercise.standard.beat_within_ns(run.grid.click_ns))
        self._output = output
        self._judged = judged
        self._recording = record(run)
        self._score = RunSoFar(exercise.drill, exercise.click_bpm, exercise.click_off)
        self._latest: deque[RepResult] = deque(maxlen=REPS_COMPARED)
        self._tracking = Tracking(run.grid.click_bpm, ms(run.score.turn_ns)) if exercise.click_off else None
        self._doubt = ""
        self._stamp_ns = beat0_ns
        self._shown_turn = 1
        """The last turn that the pages know the time of."""

    def view(self, ladder: LadderShown | None = None) -> PracticeShown:
        """The run as a page draws it."""
        turns = (self._shown_turn - 1, self._shown_turn)
        return practice_view(self.run, self.feedback.shown, self._doubt, ladder, turns)

    def begin(self, ladder: LadderShown | None = None) -> None:
        """Send the click and what the reps ask."""
        exercise, seat = self.run.exercise, self._output.seat
        began = (seat, exercise.drill.words, exercise.click_bpm, exercise.standard.name)
        LOG.info("Seat %s began %s at %g clicks a minute, standard '%s'.", *began)
        self._output.publish(GridFrame(kind="grid", seat=seat, practice=self.view(ladder)))

    def guess(self, rep: int, word: str) -> None:
        """The player's guess about a rep. Raises ChanterdError if that rep is not the one to guess about."""
        self.feedback.guess(rep, word)
        self._send_feedback()

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record it, and note when it was stamped, before a calibration is taken off."""
        self._stamp_ns = at_ns
        self._recording.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Follow, and send the steps at once; a rep that this closes is judged by the next tick."""
        if isinstance(heard, Silence):
            self._recording.silence(heard.at_ns)
        self._send(self.run.hear(heard))

    def tick(self, now_ns: Ns) -> None:
        """Judge the reps that are over, and say where the next one is as the one before it starts."""
        self._send(self.run.tick(now_ns))
        run, known = self.run, self._shown_turn
        going = run.score.turn_at(run.grid.beats(now_ns))
        self._shown_turn = max(known, going + 1)
        for turn in range(max(known + 1, going), self._shown_turn + 1):
            segment = segment_view(run.score, run.grid, turn)
            self._output.publish(SegmentFrame(kind="segment", seat=self._output.seat, segment=segment))

    def finish(self) -> None:
        """Judge every rep that was begun: nothing more will be played."""
        self._send(self.run.finish())

    def break_off(self) -> None:
        """Judge a rep that was played to its theme note, and leave out one that was broken off before."""
        self._send(self.run.verdicts())
        self._send(one for one in self.run.finish() if isinstance(one, RepEvent) and one.steps[-1].onset_ns is not None)

    def leave(self, why: str) -> None:
        """End the recording only: the practice goes on with another run."""
        self._recording.end(why)

    def close(self, why: str, ladder: Callable[[], LadderShown | None] = lambda: None) -> EndedShown:
        """Send the reps that were held back, then that the run is over."""
        run, seat = self.run, self._output.seat
        self.feedback.end()
        self._send_feedback()
        self._recording.end(why)
        LOG.info("Seat %s stopped: %d of %d reps clean.", seat, run.tally.clean, run.tally.played)
        remarks = self._remarks() if run.tally.played else None
        kept = run.continuation
        if kept is not None and self._tracking is not None:
            kept = self._tracking.with_caution(kept)
        frame = GridFrame(kind="grid", seat=seat, practice=None)
        if kept is not None:
            frame["continuation"] = kept
        if remarks is not None:
            frame["remarks"] = remarks
        ended = EndedShown(practice=self.view(ladder()), continuation=kept, remarks=remarks)
        self._output.publish(frame)
        return ended

    def _remarks(self) -> Remarks:
        """What a teacher would write under the run, and about the hand over all that was played on this seat."""
        run, played = self.run, self._output.played
        played.append(run_played(run.exercise.drill.ornament.name, run.grid.click_bpm, self._latest))
        del played[:-RUNS_COMPARED]
        remarks, of_hand = self._score.summary()["remarks"], hand_remarks(played)
        remarks["steady"] += of_hand["steady"]
        remarks["unsteady"] += of_hand["unsteady"]
        return remarks

    def _send_feedback(self) -> None:
        if not self.feedback.schedule.shows_all:
            shown = self.feedback.shown
            self._output.publish(FeedbackFrame(kind="feedback", seat=self._output.seat, feedback=shown))

    def _send_doubt(self, rep: RepResult) -> None:
        if self._tracking is None:
            return
        self._tracking.take(rep)
        before, self._doubt = self._doubt, self._tracking.doubt
        if self._doubt != before:
            self._output.publish(DoubtFrame(kind="doubt", seat=self._output.seat, doubt=self._doubt))

    def _send(self, events: Iterable[RunEvent]) -> None:
        for event in events:
            if isinstance(event, RepEvent):
                for step in event.steps:
                    self._send_step(step, final=True)
                self._send_rep(event)
                if not self._judged(event):
                    return
            elif isinstance(event, RepPreview):
                if self.feedback.schedule.shows_all:  # what is held back has no preview either
                    self._send_verdict(event, final=False)
            else:
                self._send_step(event.step, final=False)

    def _send_step(self, step: StepMeasured, *, final: bool) -> None:
        frame = StepFrame(
            kind="step",
            seat=self._output.seat,
            rep=step.rep,
            final=final,
            heard_ns=self._stamp_ns,
            sent_ns=self._output.clock(),
            step=step.step,
            note=step.note.words,
            step_kind="lead" if step.kind is None or step.step == LEAD else step.kind.value,
            **timing(step),
        )
        self._output.publish(frame)

    def _send_rep(self, event: RepEvent) -> None:
        self.feedback.take(event)
        self._score.add(event.result)
        self._latest.append(event.result)
        self._send_feedback()  # first, so that no page shows for a moment what is held back
        self._send_doubt(event.result)
        self._send_verdict(event, final=True)
        self._recording.rep(event.result)

    def _send_verdict(self, event: RepEvent | RepPreview, *, final: bool) -> None:
        frame = RepFrame(
            kind="rep",
            seat=self._output.seat,
            final=final,
            in_a_row=event.tally.in_a_row,
            clean_count=event.tally.clean,
            played_count=event.tally.played,
            heard_ns=self._stamp_ns,
            sent_ns=self._output.clock(),
            **event.result,
        )
        self._output.publish(frame)
