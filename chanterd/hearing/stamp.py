"""When a note was played: the driver's own time differences, laid on the daemon's clock.

A message is read some time after it was played: a moment as a rule, much longer while the interpreter is blocked.
The driver's time differences are free of that, but they are only relative: how long after the message before, not
when. So each message gives one sample of the offset from driver time to ours, too large by as much as that message was
delayed. The smallest recent sample was delayed least and is the one to trust, as NTP's clock filter does (RFC 5905,
section 10).

Conventions: all ``_ns`` are the daemon's monotonic clock (``time.perf_counter_ns``) or durations; driver differences
are seconds, as rtmidi gives them. A stamp is never later than the arrival and never before the stamp preceding it.
"""

from dataclasses import dataclass
from typing import Literal

from chanterd.music.units import NS_PER_MS, NS_PER_S, Ns

LONGEST_S = 86_400.0
"""A time difference of more than a day is no rest."""

UNPROVED = "Times are when each message reached this computer, until the driver's own have been compared with them."
DRIVER = "Times are the MIDI driver's own."
FALLBACK = "so times are when each message reached this computer: while it is busy, notes may look late."


@dataclass(frozen=True, slots=True)
class StampLimits:
    """How far the driver's time is believed. The figures are our own choice, for the reasons given."""

    disagree_ns: int = 30 * NS_PER_MS
    """Driver and arrival may contradict each other by this much. More than a wireless link gathers into one packet
    (15 ms, the longest connection interval BLE-MIDI asks for, RP-052) or a busy scheduler usually takes."""
    drift_ppm: int = 200
    """How fast the two clocks may drift apart, in millionths: two crystals of 100 ppm each, the worst in common use
    (from memory). The believed sample is loosened at this rate, as NTP's dispersion grows (RFC 5905)."""
    prove_ns: int = 100 * NS_PER_MS
    """How long the driver must agree before it is believed at first: time enough for frozen stamps to show."""
    regain_ns: int = 10 * NS_PER_S
    """How long it must agree again after a contradiction: about a line of music, so that timing does not flicker."""
    packed: bool = False
    """True if messages in one packet all repeat the packet's time difference, instead of 0 after the first
    (seen with python-rtmidi 1.5.8 on CoreMIDI)."""


@dataclass(slots=True)
class _Span:
    """The offsets from driver time to the daemon's clock that all messages since one base allow."""

    base_ns: int
    """Arrival of the message that driver time is counted from."""
    least_ns: int
    """No less than this: some message had not arrived yet."""
    most_ns: int
    """No more than this: some message had arrived by then."""
    driver_ns: int = 0
    moved: bool = False


class Stamper:
    """Stamps the messages of one opened port, in the order in which they were read.

    ``timing`` is what stamps are based on now, and ``said`` says why, in one sentence for a person.
    """

    def __init__(self, limits: StampLimits | None = None) -> None:
        self.limits = limits or StampLimits()
        self.timing: Literal["driver", "arrival"] = "arrival"
        self.said = UNPROVED
        self._span: _Span | None = None
        self._probation_ns = self.limits.prove_ns
        self._arrival_ns = self._empty_ns = self._stamp_ns = 0
        self._delta_s = 0.0

    def stamp(self, arrival_ns: int, delta_s: float, empty_ns: int) -> Ns:
        """The time of one message.

        ``arrival_ns``: when it was read. ``delta_s``: the driver's time since the message before (of the first one it
        means nothing). ``empty_ns``: when the queue was last seen empty, so that this message arrived after it; long
        ago means a stalled reader, just now a driver whose clock fell behind.
        """
        span = self._span or _Span(arrival_ns, empty_ns, arrival_ns)
        fault = self._compare(span, arrival_ns, delta_s, empty_ns) if self._span else ""
        if fault:
            span = _Span(arrival_ns, empty_ns, arrival_ns)
            self._distrust(fault)
        elif self.timing == "arrival" and arrival_ns - span.base_ns >= self._probation_ns:
            self.timing, self.said = "driver", DRIVER
        self._span, self._arrival_ns, self._empty_ns, self._delta_s = span, arrival_ns, empty_ns, delta_s
        played_ns = span.driver_ns + span.most_ns if self.timing == "driver" else arrival_ns
        # Only where the driver begins to be believed could a stamp fall behind the one before.
        self._stamp_ns = max(self._stamp_ns, played_ns)
        return Ns(self._stamp_ns)

    def _compare(self, span: _Span, arrival_ns: int, delta_s: float, empty_ns: int) -> str:
        """Narrow the span by one more message; what is wrong with the driver's time, if anything is."""
        if not 0 <= delta_s <= LONGEST_S:  # in this form it catches NaN too
            return f"The MIDI driver gives {delta_s} s as a time difference,"
        if not self._repeats(delta_s, empty_ns):
            span.driver_ns += round(delta_s * NS_PER_S)
            span.moved = span.moved or delta_s > 0
        loosened_ns = (arrival_ns - self._arrival_ns) * self.limits.drift_ppm // 1_000_000
        span.least_ns = max(span.least_ns - loosened_ns, empty_ns - span.driver_ns)
        span.most_ns = min(span.most_ns + loosened_ns, arrival_ns - span.driver_ns)
        apart_ns = span.least_ns - span.most_ns
        if apart_ns <= self.limits.disagree_ns:
            return ""
        if not span.moved:
            return "The MIDI driver's time stamps do not move,"
        return (
            f"The MIDI driver's time stamps are {apart_ns / NS_PER_MS:.0f} ms off the time at which messages are read,"
        )

    def _repeats(self, delta_s: float, empty_ns: int) -> bool:
        """Whether this difference only repeats that of the packet in which the message before arrived."""
        return self.limits.packed and delta_s == self._delta_s and empty_ns == self._empty_ns

    def _distrust(self, fault: str) -> None:
        if self.said in (UNPROVED, DRIVER):  # of several faults in a row, the first is reported
            self.said = f"{fault} {FALLBACK}"
        self.timing = "arrival"
        self._probation_ns = self.limits.regain_ns
