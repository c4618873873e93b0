"""The tempo grid: when each click falls, and the tempi that are allowed.

Beats count clicks from the start of rep 0; beat 0 is at ``beat0_ns``; count-in clicks have negative beats.
"""

from dataclasses import dataclass

from chanterd.config import ChanterdError
from chanterd.music.units import NS_PER_MINUTE, Beats, Bpm, Ns

SLOWEST_BPM = 20.0
FASTEST_BPM = 300.0
"""Clicks a minute. Drills run from about 60 to 200 (common practice, no source); the range leaves room around."""


def click_bpm(value: object) -> Bpm:
    """A tempo from outside, checked. Raises ChanterdError with the range allowed; NaN and infinity are refused too."""
    if isinstance(value, int | float) and not isinstance(value, bool) and SLOWEST_BPM <= value <= FASTEST_BPM:
        return Bpm(float(value))
    raise ChanterdError(
        f"The tempo click_bpm is {value!r}; it must be a number of clicks a minute from {SLOWEST_BPM:g} to "
        f"{FASTEST_BPM:g}, such as 60."
    )


@dataclass(frozen=True, slots=True)
class TempoGrid:
    """A steady click."""

    click_bpm: Bpm
    beat0_ns: Ns

    @property
    def click_ns(self) -> float:
        """The time from one click to the next."""
        return NS_PER_MINUTE / self.click_bpm

    def at(self, beats: Beats | float) -> Ns:
        """When a beat falls, to the nearest nanosecond (rounded from beat 0, so that errors do not add up)."""
        return Ns(self.beat0_ns + round(beats * self.click_ns))

    def since_ns(self, beats: Beats | float) -> Ns:
        """How long after beat 0 a beat falls."""
        return Ns(round(beats * self.click_ns))

    def beats(self, at_ns: Ns) -> Beats:
        """Which beat a time is, as a fraction."""
        return Beats((at_ns - self.beat0_ns) / self.click_ns)
