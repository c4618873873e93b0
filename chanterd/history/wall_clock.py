"""WallTime-clock time as it is kept: read only at the edge, never measured with."""

import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from chanterd.music.units import NS_PER_S


@dataclass(frozen=True, slots=True)
class WallTime:
    """A moment, and how far the clock on the player's wall is from UTC then."""

    ns: int
    """Since 1970 in UTC."""
    utc_offset_s: int

    @property
    def at_place(self) -> datetime:
        """What the clock on that wall showed, to the second; said to be UTC, which it is not."""
        return datetime.fromtimestamp(self.ns // NS_PER_S, UTC) + timedelta(seconds=self.utc_offset_s)

    @property
    def day(self) -> str:
        """The day at the player's own place, as 2026-03-31."""
        return self.at_place.date().isoformat()


def read_wall() -> WallTime:
    """Now, at this place."""
    return wall_at(time.time_ns())


def wall_at(ns: int) -> WallTime:
    """That moment, since 1970 in UTC, at this place."""
    return WallTime(ns, time.localtime(ns // NS_PER_S).tm_gmtoff)
