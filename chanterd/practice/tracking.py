"""Click off: whether the player's pulse has been lost, so that reps are mistaken for one another. Pure.

While a pulse is sought, the step on the beat comes nearer to it from rep to rep; where reps are mistaken for one
another, it jumps from one side to the other. On simulated players with five ornaments, 40 reps each, three jumps in
eight reps showed in all of 20 runs 30 and 40 % below the tempo set, and 20 and 30 % above, mostly within ten reps;
some at 20 to 25 % slower or 17 % faster; and none from 18 % slower to 15 % faster, nor where every fifth rep was
rested. At half the tempo every second rep is read as not played.
"""

from collections import deque
from dataclasses import dataclass, field

from chanterd.following.pulse import BORNE_FASTER, BORNE_SLOWER
from chanterd.judging.continuation import Continuation
from chanterd.judging.report import RepResult
from chanterd.music.units import Bpm, Ms

JUMP_SHARE = 0.25
"""Of a rep: a beat that is farther than this from where the one before was, by the pulse, has jumped."""
LOOKED_BACK = 8
"""Reps whose beat was heard."""
TOO_MANY = 3
"""Of those: this number of jumps is no stumble."""

UNSURE = "I lost your beat for part of this run, so these figures are unsure."


@dataclass(slots=True)
class Tracking:
    """One run without its click."""

    click_bpm: Bpm
    """The tempo of the exercise."""
    rep_ms: Ms
    ever: bool = field(init=False, default=False)
    """Whether the pulse was lost at any time."""
    _now: bool = field(init=False, default=False)
    _before_ms: float | None = field(init=False, default=None)
    _jumped: deque[bool] = field(init=False, default_factory=lambda: deque(maxlen=LOOKED_BACK))

    def take(self, rep: RepResult) -> None:
        """Take the next rep that was judged; one whose beat was not heard does not count."""
        at_ms = rep["anchor_ms"]
        if at_ms is None:
            return
        if self._before_ms is not None:
            self._jumped.append(abs(at_ms - self._before_ms) > JUMP_SHARE * self.rep_ms)
        self._before_ms = at_ms
        if sum(self._jumped) >= TOO_MANY:
            self._now = self.ever = True
        elif not any(self._jumped):
            self._now = False

    @property
    def doubt(self) -> str:
        """A sentence while the pulse is lost; else empty."""
        if not self._now:
            return ""
        slowest, fastest = self.click_bpm * (1 - BORNE_SLOWER), self.click_bpm * (1 + BORNE_FASTER)
        return (
            f"I've lost your beat; at {self.click_bpm:g} I can follow {slowest:.0f} to {fastest:.0f}. "
            "Set the tempo you mean to keep, then start again."
        )

    def with_caution(self, found: Continuation) -> Continuation:
        """How the tempo was kept, with a word of caution if the pulse was lost at any time."""
        return {**found, "sure": False, "said": [UNSURE, *found["said"]]} if self.ever else found
