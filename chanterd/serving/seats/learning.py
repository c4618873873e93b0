"""The activity of teaching the daemon an unknown chanter, by playing the scale once."""

from collections.abc import Callable

import mido

from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile
from chanterd.hearing.learn import Learned, Learner
from chanterd.hearing.simulated import scale_cue
from chanterd.hearing.source import Cue
from chanterd.music.heard import Heard
from chanterd.music.units import Ns
from chanterd.serving.seats.activity import LEAD_IN_NS, STOPPED, Output
from chanterd.serving.wire.frames import LearningFrame
from chanterd.serving.wire.shapes import LearningShown
from chanterd.serving.wire.views import learning_view

ENDED = "The input ended before all nine notes were played; choose another input, then start again."


class Teaching:
    """One lesson; what is learned goes to ``keep``, which raises ChanterdError if it cannot be written."""

    corrected = False

    def __init__(self, learner: Learner, keep: Callable[[Profile], None], output: Output) -> None:
        self._learner = learner
        self._keep = keep
        self._output = output
        self._cue = scale_cue(Ns(output.clock() + LEAD_IN_NS))
        self._learned = learner.wait(output.clock())
        self.shown = learning_view(self._learned)
        """How far it has come."""

    @property
    def cue(self) -> Cue:
        """The scale, for the inputs that perform."""
        return self._cue

    def begin(self) -> None:
        """Tell what to play."""
        self._publish(self.shown)

    def take(self, message: mido.Message, at_ns: Ns) -> None:
        """Learn from the message itself: the ear does not know this chanter yet."""
        self._follow(self._learner.hear(message, at_ns))

    def hear(self, heard: Heard) -> None:
        """What the ear makes of it is not needed."""

    def tick(self, now_ns: Ns) -> bool:
        """Let a held note count; over when all nine are known."""
        self._follow(self._learner.wait(now_ns))
        return self.shown["state"] == "running"

    def finish(self) -> None:
        """The input ended, as a rule before the scale did."""
        if self.shown["state"] == "running":
            self._show({**self.shown, "state": "failed", "next_note": None, "said": ENDED})

    def end(self, why: str = STOPPED) -> None:  # noqa: ARG002 - nothing of it is kept
        """Tell that it was broken off."""
        self._publish(None)

    def _follow(self, learned: Learned) -> None:
        if learned == self._learned:
            return
        self._learned = learned
        shown = learning_view(learned)
        if learned.profile is not None:
            try:
                self._keep(learned.profile)
            except ChanterdError as error:
                shown = {**shown, "state": "failed", "said": str(error)}
        self._show(shown)

    def _show(self, shown: LearningShown) -> None:
        self.shown = shown
        self._publish(shown)

    def _publish(self, learning: LearningShown | None) -> None:
        self._output.publish(LearningFrame(kind="learning", seat=self._output.seat, learning=learning))
