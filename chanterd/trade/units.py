"""Units as types. Deviations are signed: + is late. Time is monotonic and has no meaning of its own between runs."""

from typing import NewType

Ns = NewType("Ns", int)
"""Nanoseconds, on the daemon's monotonic clock or as a duration."""

Ms = NewType("Ms", float)
"""Milliseconds, for people and for JSON and TOML borders."""

Beats = NewType("Beats", float)
"""Clicks of the metronome, counted from the start of rep 0."""

Bpm = NewType("Bpm", float)
"""Clicks a minute."""

NS_PER_MS = 1_000_000
NS_PER_MINUTE = 60_000_000_000


def ms(ns: int) -> Ms:
    """Nanoseconds as milliseconds, rounded to the microsecond: finer than any wire or driver can tell."""
    return Ms(round(ns / NS_PER_MS, 3))
