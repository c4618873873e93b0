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
NS_PER_US = 1_000
US_PER_MS = 1_000
HALF_US = 500
FAR = 10**12
"""More microseconds (eleven days) may be rounded otherwise by fractions of a millisecond; see ``ms``."""
NS_PER_S = 1_000_000_000
NS_PER_MINUTE = 60 * NS_PER_S


def ms(ns: int) -> Ms:
    """Nanoseconds as milliseconds, rounded to the microsecond: finer than any wire or driver measures.

    The same as ``round(ns / NS_PER_MS, 3)`` in half the time: there are many of them. (Calling ``Ms`` would cost too.)
    """
    us, rest = divmod(ns, NS_PER_US)
    if rest == HALF_US or not -FAR < us < FAR:
        return round(ns / NS_PER_MS, 3)  # type: ignore[return-value]  # it is one now
    return (us + (rest > HALF_US)) / US_PER_MS  # type: ignore[return-value]  # it is one now
