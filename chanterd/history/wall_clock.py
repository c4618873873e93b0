"""Wall-clock time: read only at the edge, and never used to measure."""

import time
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from chanterd.music.units import NS_PER_S


@dataclass(frozen=True, slots=True)
class WallTime:
    """A moment, and the offset of the player's own clock from UTC at that moment."""

    ns: int
    """Since 1970 in UTC."""
    utc_offset_s: int

    @property
    def at_place(self) -> datetime:
        """The player's local time to the second; it is marked as UTC, although it is not."""
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
