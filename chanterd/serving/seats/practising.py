"""The activity of practising a drill at one tempo, until it is stopped."""

import mido

from chanterd.hearing.source import Cue
from chanterd.music.heard import Heard
from chanterd.music.units import Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import Run, Tally
from chanterd.serving.seats.activity import STOPPED, Output
from chanterd.serving.seats.cue import cue_for
from chanterd.serving.seats.live_run import LiveRun, Record
from chanterd.serving.wire.shapes import EndedShown, PracticeShown

FINISHED = "the input ended"
"""Why a run ended that nobody stopped."""


class Practising:
    """One run on one seat."""

    corrected = True

    def __init__(self, exercise: Exercise, output: Output, record: Record, beat0_ns: Ns | None = None) -> None:
        """``beat0_ns``: when beat 0 falls; left out, after a count-in that begins now."""
        first_ns = output.first_beat(exercise.click_bpm) if beat0_ns is None else beat0_ns
        self._live = LiveRun(exercise, first_ns, output, record)
        self.ended: EndedShown | None = None
        """How it ended; None while it goes on."""

    @property
    def run(self) -> Run:
        """What is followed and judged."""
        return self._live.run

    @property
    def tally(self) -> Tally:
        """The reps so far."""
        return self.run.tally

    def practice(self) -> PracticeShown:
        """The run as a page draws it."""
        return self._live.view()

    @property
    def cue(self) -> Cue:
        """The drill, for the inputs that perform."""
        return cue_for(self.run)

    def begin(self) -> None:
        """Send the click and what the reps ask."""
        self._live.begin()

    def guess(self, rep: int, word: str) -> None:
        """The player's guess about a rep. Raises ChanterdError if that rep is not the one to guess about."""
        self._live.guess(rep, word)

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Record it."""
        self._live.take(message, at_ns)

    def hear(self, heard: Heard) -> None:
        """Follow."""
        self._live.hear(heard)

    def tick(self, now_ns: Ns) -> bool:
        """Judge the reps that are over; a run goes on until it is stopped."""
        self._live.tick(now_ns)
        return True

    def finish(self) -> None:
        """Judge every rep that was begun, and end."""
        self._live.finish()
        self.ended = self._live.close(FINISHED)

    def end(self, why: str = STOPPED) -> None:
        """Judge the last rep if it was played through, and end."""
        self._live.break_off()
        self.ended = self._live.close(why)
