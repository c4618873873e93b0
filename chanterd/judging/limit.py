"""A limit of a standard: a number of milliseconds, or a share of an interval, whichever is more."""

from dataclasses import dataclass

from chanterd.music.units import NS_PER_MS, Ms


@dataclass(frozen=True, slots=True)
class Limit:
    """What may be off by no more than this."""

    within_ms: Ms
    share: float
    """Of the interval it is held against; 0 to 1."""

    def of(self, interval_ns: float) -> float:
        """The limit for an interval, in ns."""
        return max(self.within_ms * NS_PER_MS, self.share * interval_ns)


HEARD = Limit(Ms(6.0), 0.025)
"""One note out of place in an even row is heard from 6 ms, or from 2.5 % of an interval over 240 ms: Friberg and
Sundberg 1995, JASA 98:2524. Nothing smaller is ever a fault."""
