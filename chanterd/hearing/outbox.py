"""What is sent to a class on another machine: MIDI numbered and stamped, and kept until it has arrived. Pure."""

from collections import deque

from chanterd.hearing.remote import LONGEST_GAP_NS, Numbered
from chanterd.music.units import Ns

MOST_BYTES = 1_000_000
"""Of what waits to be sent: over ten seconds a chanter on a DIN wire makes 31 kB (3,125 bytes a second, MIDI 1.0)."""


class Outbox:
    """Messages on their way."""

    def __init__(self) -> None:
        """Begin with none."""
        self._waiting: deque[Numbered] = deque()
        self._bytes = 0
        self._next = 0
        self.lost = 0
        """How many were given up, since the link was down for too long."""

    def add(self, at_ns: Ns, data: bytes) -> Numbered:
        """Take a message as it was heard; the same one, numbered."""
        message = Numbered(self._next, at_ns, data)
        self._next += 1
        self._waiting.append(message)
        self._bytes += len(data)
        while self._waiting and (self._bytes > MOST_BYTES or at_ns - self._waiting[0].at_ns > LONGEST_GAP_NS):
            self._give_up()
        return message

    def arrived(self, before: int) -> None:
        """Everything before that number has arrived."""
        while self._waiting and self._waiting[0].number < before:
            self._bytes -= len(self._waiting.popleft().data)

    def since(self, number: int) -> tuple[int, list[Numbered]]:
        """What is to be sent again from that number on, and the number that it really begins with.

        That is a later one where some have been given up.
        """
        self.arrived(number)
        waiting = list(self._waiting)
        return (waiting[0].number if waiting else self._next), waiting

    def _give_up(self) -> None:
        self._bytes -= len(self._waiting.popleft().data)
        self.lost += 1
