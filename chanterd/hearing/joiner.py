"""The other side of a remote chanter: sends what a source hears, with its stamps, over a link that may break.

Transport apart from rule: a :class:`Joiner` makes and takes frames, as text; who uses it has the socket. Calls are from
one thread; only ``hear`` may be called from another. Times are ns on the clock that the source stamps by.
"""

import json
import threading
from collections import deque
from collections.abc import Iterator
from secrets import token_hex
from typing import Any

import mido

from chanterd.hearing.clock_offset import EVERY_NS
from chanterd.hearing.outbox import Outbox
from chanterd.music.units import NS_PER_MS, Ns

QUICK, QUICK_NS = 100, 50 * NS_PER_MS
"""How many of the first questions about the clock follow each other faster, and how fast. Faster still would bring
less: what is sent in order waits for what was delayed before it."""
MOST_MESSAGES = 100
"""In one packet."""


class Joiner:
    """One chanter that is sent to a class."""

    def __init__(self, name: str | None, chanter: str) -> None:
        """``name`` is who plays, ``chanter`` what they play on."""
        self._name = name
        self._chanter = chanter
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
        frame = {"kind": "join", "who": self._who, "input": self._chanter}
        return json.dumps(frame if self._name is None else {**frame, "name": self._name})

    def take(self, text: str, heard_ns: Ns) -> None:
        """Take a frame from the class."""
        frame: dict[str, Any] = json.loads(text)
        if frame["kind"] == "clock":
            stamps = [frame["sent"], frame["received_ns"], frame["replied_ns"], heard_ns]
            self._stamps.append(json.dumps({"kind": "stamps", "stamps": stamps}))
            return
        with self._lock:
            self._outbox.arrived(frame["next"])
        if frame["kind"] == "joined":
            self.seat, self._linked, self._sent = frame["seat"], True, frame["next"]

    def due(self, now_ns: Ns) -> Iterator[str]:
        """The frames to send now, in this order."""
        if not self._linked:
            return
        if now_ns >= self._ask_ns:
            yield json.dumps({"kind": "clock", "sent": now_ns})
            self._asked += 1
            self._ask_ns = now_ns + (QUICK_NS if self._asked < QUICK else EVERY_NS)
        while self._stamps:
            self._compared = True
            yield self._stamps.popleft()
        if self._compared:  # before, nobody could say there when it was played
            yield from self._packets()

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
