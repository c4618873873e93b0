"""From the bytes on a MIDI wire to messages: what mido's parser does not do by itself is done here, before it.

On a wire a status byte may be left out when it repeats (running status), and one-byte real-time messages may fall
inside any other message without breaking either (MIDI 1.0). mido 1.3's parser forgets the running status and drops the
message around a real-time byte, so it is fed whole messages with their status byte, one at a time. Pure.
"""

import mido
from mido.messages.specs import SPEC_BY_STATUS

_SYSTEM = 0xF0
_REAL_TIME = 0xF8
_ACTIVE_SENSING = 0xFE


class Wire:
    """Decodes one wire. Cut messages and stray data bytes are dropped; system-exclusive data is skipped."""

    def __init__(self) -> None:
        self._parser = mido.Parser()
        self._status: int | None = None  # what data bytes belong to; None: to nothing known
        self._data: list[int] = []

    def feed(self, data: bytes) -> list[mido.Message]:
        """The messages that these bytes complete, in order, active sensing left out."""
        for byte in data:
            if byte >= _REAL_TIME:
                self._pass_on([byte])
            elif byte & 0x80:
                self._begin(byte)
            elif self._status is not None:
                self._data.append(byte)
                self._end_if_whole(self._status)
        return list(self._parser)

    def _begin(self, status: int) -> None:
        known = status in SPEC_BY_STATUS and status != _SYSTEM
        self._status = status if known else None
        self._data.clear()
        if known:
            self._end_if_whole(status)

    def _end_if_whole(self, status: int) -> None:
        if 1 + len(self._data) < SPEC_BY_STATUS[status]["length"]:
            return
        self._pass_on([status, *self._data])
        self._data.clear()
        if status >= _SYSTEM:  # only channel messages run on
            self._status = None

    def _pass_on(self, whole: list[int]) -> None:
        if whole[0] in SPEC_BY_STATUS and whole[0] != _ACTIVE_SENSING:
            self._parser.feed(whole)
