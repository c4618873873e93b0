"""A played calibration: the player plays on sixteen clicks, and chanterd measures the delay between click and note.

The result is the sum of the sound's delay to the ear, the chanter's delay to us and the player's own habit; with it
subtracted from every onset, a steady player is on the beat. Times are on the daemon's clock, in ns; + is late.
"""

from dataclasses import dataclass, field
from statistics import median
from typing import Literal

from chanterd.judging.robust import spread
from chanterd.music.grid import TempoGrid
from chanterd.music.heard import Onset
from chanterd.music.units import NS_PER_MS, Bpm, Ms, Ns

CLICKS = 16
CALIBRATION_BPM = Bpm(60.0)
ENOUGH = 10
"""At least this many of the sixteen must be heard."""
STEADY_MS = Ms(35.0)
"""With a spread above this the middle means little: experts spread 10-20 ms at this tempo (Repp 2005, from memory)."""
GROUP_CLICKS = 0.25
"""Onsets closer than this belong to one click: a gracenote and its note, or a tap and its return."""


@dataclass(frozen=True, slots=True)
class Calibrated:
    """How far the calibration has come, or its result."""

    state: Literal["running", "done", "failed"]
    heard: int
    calibration_ms: Ms | None
    spread_ms: Ms | None
    said: str


@dataclass(slots=True)
class Calibration:
    """Give it onsets as they were stamped, before any earlier calibration is subtracted, then read the result."""

    grid: TempoGrid
    _off_ns: dict[int, int] = field(init=False, default_factory=dict)
    _last_ns: int | None = field(init=False, default=None)

    @property
    def ends_ns(self) -> Ns:
        """When the time of the last click is over."""
        return self.grid.at(CLICKS - 0.5)

    def hear(self, onset: Onset) -> Calibrated:
        """Take an onset; the first of each group is compared with the nearest click."""
        starts = self._last_ns is None or onset.at_ns - self._last_ns > GROUP_CLICKS * self.grid.click_ns
        self._last_ns = onset.at_ns
        click = round(self.grid.beats(onset.at_ns))
        if starts and not onset.bounce and 0 <= click < CLICKS:
            self._off_ns.setdefault(click, onset.at_ns - self.grid.at(click))
        return self.running()

    def running(self) -> Calibrated:
        """How far it has come."""
        said = (
            "Play a low A with a G gracenote, or tap one note, on every click. The first four clicks are the count-in."
        )
        return Calibrated("running", len(self._off_ns), None, None, said)

    def result(self) -> Calibrated:
        """What was measured, when the clicks are over."""
        off = list(self._off_ns.values())
        if len(off) < ENOUGH:
            said = (
                f"I heard a note on only {len(off)} of {CLICKS} clicks; I need at least {ENOUGH}. "
                "Check that the page shows the notes you play, then try again."
            )
            return Calibrated("failed", len(off), None, None, said)
        middle, wide = Ms(round(median(off) / NS_PER_MS, 1)), Ms(round(spread(off) / NS_PER_MS, 1))
        if wide > STEADY_MS:
            said = (
                f"Your notes were spread over {wide:.0f} ms; a calibration needs {STEADY_MS:.0f} ms or less. "
                "Nothing has changed. Listen to the clicks for a while, then try again."
            )
            return Calibrated("failed", len(off), None, wide, said)
        word = "late" if middle >= 0 else "early"
        said = f"Done. Your notes arrive {abs(middle):.0f} ms {word}; that is now corrected."
        return Calibrated("done", len(off), middle, wide, said)
