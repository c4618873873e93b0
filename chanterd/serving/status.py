"""How the daemon is doing: diagnostics, for when something is slow.

Memory and processor time are the whole process's, from psutil; lateness is how late the event loop woke up.
"""

import platform
from collections import deque
from datetime import UTC, datetime
from statistics import median

import psutil
from typing_extensions import TypedDict

from chanterd import __version__
from chanterd.music.units import NS_PER_MS, Ns, ms

WINDOW = 3000
"""How many wake-ups the figures cover: a minute at 20 ms each."""
NS_PER_S = 1000 * NS_PER_MS
BYTES_PER_MB = 1_000_000


class Lateness(TypedDict):
    """How late the event loop woke up over the last minute, ms. None if it has not yet."""

    median_ms: float | None
    worst_ms: float | None


class Pages(TypedDict):
    """The open pages, and what they were sent since the start."""

    now: int
    frames: int
    lost: int
    """Passing frames that slow pages did not get."""
    let_go: int
    """Pages that were cut off because they were too slow."""


class SeatStatus(TypedDict):
    """One player's chanter."""

    seat: str
    input: str
    state: str
    said: str
    timing: str | None
    messages: int
    """MIDI messages heard since the start."""


class Status(TypedDict):
    """The answer of ``GET /api/status``."""

    version: str
    python: str
    system: str
    since: str
    """UTC, ISO 8601."""
    up_s: int
    memory_mb: float
    processor_s: float
    data: str
    """The folder where chanterd keeps its files."""
    lateness: Lateness
    pages: Pages
    seats: list[SeatStatus]
    log: list[str]
    """The last lines, the oldest first."""


class Health:
    """What is measured while the daemon runs."""

    def __init__(self, now_ns: Ns) -> None:
        """``now_ns`` is on the daemon's clock; the wall clock is read only here, for the time of the start."""
        self._since = datetime.now(UTC)
        self._began_ns = now_ns
        self._late_ns: deque[int] = deque(maxlen=WINDOW)
        self._process = psutil.Process()

    def woke(self, late_ns: int) -> None:
        """Record by how much the event loop woke up late."""
        self._late_ns.append(max(0, late_ns))

    def lateness(self) -> Lateness:
        """Over the last minute."""
        late = self._late_ns
        if not late:
            return Lateness(median_ms=None, worst_ms=None)
        return Lateness(median_ms=ms(round(median(late))), worst_ms=ms(max(late)))

    def status(self, now_ns: Ns, data: str, pages: Pages, seats: list[SeatStatus], log: list[str]) -> Status:
        """The whole status."""
        with self._process.oneshot():
            memory, times = self._process.memory_info(), self._process.cpu_times()
        return Status(
            version=__version__,
            python=platform.python_version(),
            system=f"{platform.system()} {platform.release()} ({platform.machine()})",
            since=self._since.isoformat(timespec="seconds"),
            up_s=(now_ns - self._began_ns) // NS_PER_S,
            memory_mb=round(memory.rss / BYTES_PER_MB, 1),
            processor_s=round(times.user + times.system, 1),
            data=data,
            lateness=self.lateness(),
            pages=pages,
            seats=seats,
            log=log,
        )
