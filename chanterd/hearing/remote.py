"""A chanter on another machine: its MIDI comes numbered and stamped over a link that may fail for a while.

What arrives is put back in order, delivered once, and stamped on our clock, so that the link makes nobody late. While
the link is down, what was played is kept on the other side and comes when it is back; for that long nothing of this
seat is taken for over (``lag_ns``).
"""

import threading
from collections.abc import Callable
from dataclasses import dataclass

import mido

from chanterd.hearing.clock_offset import ClockOffset, Exchange
from chanterd.hearing.source import Cue, Deliver, Report, SourceStatus
from chanterd.hearing.wire import Wire
from chanterd.music.units import NS_PER_MS, NS_PER_S, Ns

LONGEST_GAP_NS = 10 * NS_PER_S
"""How long a link may be down and nothing is lost."""
MARGIN_NS = 30 * NS_PER_MS
"""What a message may take beyond the longest way seen of late."""
SETTLING_NS = 2 * NS_PER_S
"""For so long at most a joiner keeps its first notes back, until the clocks have been compared well enough."""
HEARTBEAT_NS = 1 * NS_PER_S
"""Every so often at least, the other side sends something; without it for longer the link counts as down."""


@dataclass(frozen=True, slots=True)
class Numbered:
    """MIDI bytes as they were heard there."""

    number: int
    """Counts from 0 on the other side, without a gap."""
    at_ns: Ns
    """When, on their clock."""
    data: bytes


class RemoteSource:
    """One chanter elsewhere; whoever serves its link tells it what comes, from any one thread at a time."""

    def __init__(self, name: str, clock: Callable[[], Ns]) -> None:
        self._name = name
        self._clock = clock
        self._offset = ClockOffset()
        self._wire = Wire()
        self._deliver: Deliver | None = None
        self._report: Report | None = None
        self._next = 0
        self._last_ns = Ns(0)
        self._ways_ns: list[int] = []
        self._heard_from_ns: Ns | None = None
        self._linked = False
        self._who = ""
        self._known_ns = Ns(0)
        self._links = 0
        self._joined_ns = Ns(-SETTLING_NS)
        self._cue: Cue | None = None
        self._on_cue: Callable[[], None] | None = None
        self._lock = threading.Lock()
        self._stopped = False

    @property
    def name(self) -> str:
        """What it is called on the other side."""
        return self._name

    @property
    def linked(self) -> bool:
        """Whether the other side is there now."""
        return self._linked

    @property
    def next_number(self) -> int:
        """The first message that has not come yet: all before it have been delivered."""
        return self._next

    @property
    def lag_ns(self) -> Ns:
        """How long to wait before what was played at a moment can be taken for known.

        The longest way of late and a margin; at first since it joined; while the link is down, since it went, until too
        long ago to come back.
        """
        if self._heard_from_ns is None:
            return Ns(0)
        now_ns = self._clock()
        here_ns = now_ns - self._joined_ns
        settling_ns = here_ns if here_ns < SETTLING_NS + HEARTBEAT_NS else 0  # and the way to us
        usual = max(*self._ways_ns[-50:], settling_ns, 0) + MARGIN_NS
        since_ns = now_ns - self._heard_from_ns
        if since_ns > LONGEST_GAP_NS:
            return Ns(usual)
        return Ns(max(usual, since_ns + MARGIN_NS if since_ns > HEARTBEAT_NS or not self._linked else 0))

    def known_until(self, now_ns: Ns) -> Ns:
        """Until when everything that was played there is known; it never goes back."""
        self._known_ns = max(self._known_ns, Ns(now_ns - self.lag_ns))
        return self._known_ns

    def start(self, deliver: Deliver, report: Report) -> None:
        """Begin to deliver what comes."""
        with self._lock:
            self._deliver, self._report = deliver, report
        report(SourceStatus("waiting", f"Waiting for {self._name} to join."))

    def stop(self) -> None:
        """Deliver nothing more."""
        with self._lock:
            self._stopped, self._deliver = True, None

    def cue(self, cue: Cue | None) -> None:
        """What is practised from now on; a live chanter does not care, but the input there may be one that performs."""
        self._cue = cue
        if self._on_cue is not None:
            self._on_cue()

    @property
    def cued(self) -> Cue | None:
        """What is practised now, on our clock."""
        return self._cue

    def on_cue(self, changed: Callable[[], None] | None) -> None:
        """Call this as soon as something else is practised; None: nobody wants to know."""
        self._on_cue = changed

    @property
    def who(self) -> str:
        """Who is on the other side: what it calls itself; empty before anybody has joined."""
        return self._who

    @property
    def links(self) -> int:
        """How many times somebody has joined: a link that is not the last one is over."""
        return self._links

    def link(self, who: str = "", name: str = "") -> int:
        """The other side is there, for the first time or again; the number of the first message that it is to send.

        ``who`` is the same as long as it counts its messages on; another one begins with 0, on a clock of its own.
        ``name`` is what to call it from now on.
        """
        if who != self._who:
            self._who, self._next, self._offset, self._wire = who, 0, ClockOffset(), Wire()
            self._joined_ns = self._clock()
        self._name = name or self._name
        self._links += 1
        self._linked, self._heard_from_ns = True, self._clock()
        self._tell(SourceStatus("ready", f"{self._name} has joined.", "driver"))
        return self._next

    def skip_to(self, number: int) -> int:
        """The other side gave up what was before that number, as the link was down too long; how many that is."""
        lost = max(0, number - self._next)
        self._next += lost
        return lost

    def unlink(self) -> None:
        """The other side is gone; it may come back."""
        if self._linked:
            self._linked = False
            self._tell(SourceStatus("gone", f"The link to {self._name} is down; what is played comes when it is back."))

    def compare(self, exchange: Exchange) -> None:
        """Take an exchange of stamps."""
        self._heard_from_ns = self._clock()
        self._offset.add(exchange)

    def take(self, message: Numbered) -> bool:
        """Deliver a message; False if it was delivered before, or one before it is missing: then nothing changes.

        Before the clocks have been compared nothing is taken, since nobody could say when it was played.
        """
        self._heard_from_ns = now_ns = self._clock()
        offset_ns = self._offset.offset_ns
        if message.number != self._next or offset_ns is None:
            return False
        self._next += 1
        # Two messages keep their order even if the clocks are compared better between them.
        self._last_ns = at_ns = Ns(max(self._last_ns, message.at_ns + offset_ns))
        self._ways_ns = [*self._ways_ns[-49:], min(now_ns - at_ns, LONGEST_GAP_NS)]
        for one in self._wire.feed(message.data):
            self._hand_over(one, at_ns)
        return True

    def _hand_over(self, message: mido.Message, at_ns: Ns) -> None:
        with self._lock:
            if self._deliver is not None and not self._stopped:
                self._deliver(message, at_ns)

    def _tell(self, status: SourceStatus) -> None:
        with self._lock:
            if self._report is not None and not self._stopped:
                self._report(status)
