"""The other side of a remote chanter: sends what a source hears, with its stamps, over a link that may break.

Transport apart from rule: a :class:`Joiner` makes and takes frames, as text; who uses it has the socket. Calls are from
one thread; only ``hear`` may be called from another. Times are ns on the clock that the source stamps by.
"""

import json
import threading
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import replace
from secrets import token_hex
from typing import Any

import mido

from chanterd.hearing.clock_offset import EVERY_NS, ClockOffset, Exchange
from chanterd.hearing.cue_frame import caught_up, cue_from_frame
from chanterd.hearing.outbox import Outbox
from chanterd.hearing.remote import SETTLING_NS
from chanterd.hearing.source import Cue
from chanterd.music.units import NS_PER_MS, Ns

QUICK, QUICK_NS = 100, 50 * NS_PER_MS
"""How many of the first questions about the clock follow each other faster, and how fast. Faster still would bring
less: what is sent in order waits for what was delayed before it."""
SIDE_LINKS, SIDE_S = 3, 5.0
"""How many links beside its own a joiner compares clocks on at first, and for how many seconds: on each, a stamp waits
for others of that link only."""
SETTLED = 250
"""After this many answers the clocks are well compared: before, the first notes are kept back, for two seconds at most.
In 60 simulated starts with 80 ms ± 40 ms of delay each way no stamp was then more than 1.3 ms off; without the further
links, and with nothing kept back, half of the starts had stamps more than 2 ms off."""
MOST_MESSAGES = 100
"""In one packet."""


class Joiner:
    """One chanter that is sent to a class."""

    def __init__(self, name: str | None, chanter: str, perform: Callable[[Cue | None], None] | None = None) -> None:
        """``name`` is who plays, ``chanter`` what they play on; ``perform`` has an input play what is practised."""
        self._name = name
        self._chanter = chanter
        self._perform = perform
        self._cued: Any = None
        self._cue: tuple[Cue | None] | None = None
        self._offset = ClockOffset()
        self.answers = 0
        """How many questions about the clock have been answered."""
        self._joined_ns: Ns | None = None
        self._who = token_hex(16)
        self._outbox = Outbox()
        self._lock = threading.Lock()
        self._sent = 0
        self._linked = False
        self._compared = False
        self._asked = self._ask_ns = 0
        self._stamps = deque[str]()
        self.seat: str | None = None
        """The seat in the class, once it is known."""

    @property
    def lost(self) -> int:
        """How many messages were given up, since the link was down for too long."""
        return self._outbox.lost

    def hear(self, message: mido.Message, at_ns: Ns) -> None:
        """Something was played."""
        with self._lock:
            self._outbox.add(at_ns, bytes(message.bin()))

    def hello(self) -> str:
        """The first frame of a link."""
        self._linked, self._compared, self._asked, self._ask_ns = False, False, 0, 0
        self._stamps.clear()
        frame: dict[str, Any] = {"kind": "join", "who": self._who, "input": self._chanter}
        if self._perform is not None:
            frame["cues"] = True
        return json.dumps(frame if self._name is None else {**frame, "name": self._name})

    def take(self, text: str, heard_ns: Ns) -> None:
        """Take a frame from the class."""
        frame: dict[str, Any] = json.loads(text)
        if frame["kind"] == "clock":
            self._stamps.append(self._exchanged(frame, heard_ns))
            return
        if frame["kind"] == "cue":
            if frame["cue"] != self._cued:  # the same one comes again with a new link
                self._cued, self._cue = frame["cue"], (cue_from_frame(frame),)
            return
        with self._lock:
            self._outbox.arrived(frame["next"])
        if frame["kind"] == "joined":
            self.seat, self._linked, self._sent = frame["seat"], True, frame["next"]
            if self._joined_ns is None:
                self._joined_ns = heard_ns

    def take_aside(self, text: str, heard_ns: Ns) -> None:
        """Take an answer about the clock from another link than the one of the notes."""
        least = self._offset.ways_ns
        exchange = self._exchanged(json.loads(text), heard_ns)
        if self._offset.ways_ns != least:  # else the class would learn nothing new
            self._stamps.append(exchange)

    def _exchanged(self, frame: dict[str, Any], heard_ns: Ns) -> str:
        """Take an answer about the clock; the frame with its stamps."""
        stamps = [frame["sent"], frame["received_ns"], frame["replied_ns"], heard_ns]
        self._offset.add(Exchange(*map(Ns, stamps)))
        self.answers += 1
        return json.dumps({"kind": "stamps", "stamps": stamps})

    def due(self, now_ns: Ns) -> Iterator[str]:
        """The frames to send now, in this order."""
        if not self._linked:
            return
        if now_ns >= self._ask_ns:
            yield self.question(now_ns)
            self._asked += 1
            self._ask_ns = now_ns + (QUICK_NS if self._asked < QUICK else EVERY_NS)
        while self._stamps:
            self._compared = True
            yield self._stamps.popleft()
        if self._compared and self._settled(now_ns):  # before, nobody could say there when it was played
            self._pass_cue(now_ns)
            yield from self._packets()

    def question(self, now_ns: Ns) -> str:
        """A question about the clock, for a link that only compares."""
        return json.dumps({"kind": "clock", "sent": now_ns})

    def _settled(self, now_ns: Ns) -> bool:
        if self._joined_ns is None:
            return False
        return self.answers >= SETTLED or now_ns - self._joined_ns >= SETTLING_NS

    def _pass_cue(self, now_ns: Ns) -> None:
        """Have the input play what is practised, by its own clock."""
        offset_ns = self._offset.offset_ns
        if self._perform is None or self._cue is None or offset_ns is None:
            return
        [cue], self._cue = self._cue, None
        if cue is not None:
            cue = caught_up(replace(cue, beat0_ns=Ns(cue.beat0_ns - offset_ns)), now_ns)
        self._perform(cue)

    def _packets(self) -> Iterator[str]:
        with self._lock:
            _, waiting = self._outbox.since(0)
        fresh = [one for one in waiting if one.number >= self._sent]
        for at in range(0, len(fresh), MOST_MESSAGES):
            packet = fresh[at : at + MOST_MESSAGES]
            self._sent = packet[-1].number + 1
            messages = [(one.at_ns, one.data.hex()) for one in packet]
            yield json.dumps({"kind": "midi", "first": packet[0].number, "messages": messages})

    def unlink(self) -> None:
        """The link is gone."""
        self._linked = False
