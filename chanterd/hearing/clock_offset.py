"""How far apart two machines' clocks are, from stamps exchanged over a link that delays them more or less.

One exchange has four stamps: sent by them, received by us, answered by us, heard by them (RFC 5905 section 8). The
page believes the least delayed exchange of the last eight. A chanter's deviations need more: a wireless link delays
each way by tens of ms that change all the time. So each way's least delay is taken by itself, over many exchanges:
chance only adds to a delay, and among two hundred there is one with hardly any. What the two ways differ by steadily
cannot be seen by any exchange of stamps.

Conventions: ns; the offset is what to add to their time to get ours. Pure: no clock is read here.
"""

from collections import deque
from dataclasses import dataclass

from chanterd.music.units import NS_PER_S, Ns

EVERY_NS = NS_PER_S // 10
"""How often stamps are exchanged: 200 times within the window."""
WINDOW_NS = 20 * NS_PER_S
"""How far back exchanges count. Two clocks that drift apart by 20 millionths, a usual crystal's error (from memory), go
0.4 ms apart meanwhile."""


@dataclass(frozen=True, slots=True)
class Exchange:
    """The four stamps of one question and its answer, the first and the last on their clock, the others on ours."""

    asked_ns: Ns
    received_ns: Ns
    answered_ns: Ns
    heard_ns: Ns


class ClockOffset:
    """What is known of their clock by now."""

    def __init__(self) -> None:
        """Begin with nothing known."""
        self._there: deque[tuple[int, int]] = deque()
        self._back: deque[tuple[int, int]] = deque()

    def add(self, one: Exchange) -> None:
        """Take an exchange; the newest last."""
        _keep_least(self._there, one.heard_ns, one.received_ns - one.asked_ns)
        _keep_least(self._back, one.heard_ns, one.heard_ns - one.answered_ns)

    @property
    def ways_ns(self) -> tuple[int, int] | None:
        """The least there and back, each with the offset in it; None before the first exchange."""
        return (self._there[0][1], self._back[0][1]) if self._there else None

    @property
    def offset_ns(self) -> Ns | None:
        """What to add to their time to get ours; None before the first exchange."""
        if not self._there:
            return None
        return Ns((self._there[0][1] - self._back[0][1]) // 2)

    @property
    def least_delay_ns(self) -> Ns | None:
        """How long the link takes one way at its best; None before the first exchange."""
        if not self._there:
            return None
        return Ns((self._there[0][1] + self._back[0][1]) // 2)


def _keep_least(kept: deque[tuple[int, int]], at_ns: int, value: int) -> None:
    """Keep what may be the least of the window now or later: rising values, the first one is the least."""
    while kept and kept[-1][1] >= value:
        kept.pop()
    kept.append((at_ns, value))
    while at_ns - kept[0][0] > WINDOW_NS:
        kept.popleft()
