"""One RtMidi client behind one small border, whichever of two libraries makes it: the ports there are, and reading one.

python-rtmidi (up to Python 3.12) and rtmidi2 (3.13 and later) both wrap RtMidi. Two things were measured on JACK and
decide how it is used here:

- With a Python callback, the driver's own thread waits for the interpreter. While that was blocked for 100 ms, 9 of 40
  notes sent 10 ms apart were lost. RtMidi's own queue is filled without the interpreter: all 40 arrived, with time
  differences that add up to within one JACK period of the truth. So: no callback, the queue is read.
- What ``ignore_types`` filters out takes its time difference with it: with active sensing ignored, the differences over
  196 ms of playing added up to 96 ms. So: nothing is ignored here; whoever reads throws away what is not wanted.
"""

from collections import Counter
from collections.abc import Iterable
from typing import Any, Protocol

QUEUE_SIZE = 4096
"""Messages kept while nobody reads: 4 s of a saturated MIDI cable (0.96 ms a note-on at 31,250 baud, MIDI 1.0)."""

CLIENT_NAME = "chanterd"


def distinct(names: Iterable[str]) -> list[str]:
    """The names in order, equal ones counted: CoreMIDI gives two chanters of one model the same (from memory)."""
    seen: Counter[str] = Counter()
    found = []
    for name in names:
        seen[name] += 1
        found.append(name if seen[name] == 1 else f"{name} ({seen[name]})")
    return found


class Client(Protocol):
    """An input client: it can list the ports, and open and read one of them."""

    def ports(self) -> list[str]:
        """The names of the ports there are now; a name's place is its index, from 0."""
        ...

    def open(self, index: int) -> None:
        """Begin to queue what this port sends. Raises OSError if it cannot be opened."""
        ...

    def read(self) -> tuple[list[int], float] | None:
        """The oldest message queued: its bytes, and its time in seconds after the one before; None if there is none."""
        ...

    def shut(self) -> None:
        """Close the port, so that it or another one can be opened."""
        ...

    def close(self) -> None:
        """Close the client, and the port if one is open; the last call."""
        ...


class PythonRtmidi:
    """A client of python-rtmidi, whose errors are OSErrors already."""

    def __init__(self, rtmidi: Any, api: int) -> None:  # noqa: ANN401  a module without types
        if api not in rtmidi.get_compiled_api():
            raise OSError("This build of python-rtmidi does not know that API.")
        self._midi = rtmidi.MidiIn(rtapi=api, name=CLIENT_NAME, queue_size_limit=QUEUE_SIZE)
        self._midi.ignore_types(sysex=False, timing=False, active_sense=False)

    def ports(self) -> list[str]:
        """See :class:`Client`."""
        return distinct(self._midi.get_ports())

    def open(self, index: int) -> None:
        """See :class:`Client`."""
        self._midi.open_port(index)

    def read(self) -> tuple[list[int], float] | None:
        """See :class:`Client`."""
        message: tuple[list[int], float] | None = self._midi.get_message()
        return message

    def shut(self) -> None:
        """See :class:`Client`."""
        self._midi.close_port()

    def close(self) -> None:
        """See :class:`Client`."""
        self._midi.delete()


class Rtmidi2:
    """A client of rtmidi2, which raises RuntimeError and ValueError, and may use another API than the one wanted.

    Its ``get_message`` leaves the time difference in ``deltatime``.
    """

    def __init__(self, rtmidi2: Any, api: int) -> None:  # noqa: ANN401  a module without types
        try:
            self._midi = rtmidi2.MidiIn(CLIENT_NAME, QUEUE_SIZE, api)
        except RuntimeError as error:
            raise OSError(str(error)) from error
        if self._midi.get_current_api() != api:
            raise OSError("This build of rtmidi2 does not know that API.")
        self._midi.ignore_types(midi_sysex=False, midi_time=False, midi_sense=False)

    def ports(self) -> list[str]:
        """See :class:`Client`."""
        return distinct(self._midi.ports)

    def open(self, index: int) -> None:
        """See :class:`Client`."""
        try:
            self._midi.open_port(index)
        except (RuntimeError, ValueError) as error:
            raise OSError(str(error)) from error

    def read(self) -> tuple[list[int], float] | None:
        """See :class:`Client`."""
        data = self._midi.get_message()
        return None if data is None else (data, self._midi.deltatime)

    def shut(self) -> None:
        """See :class:`Client`."""
        self._midi.close_port()

    def close(self) -> None:
        """See :class:`Client`."""
        self.shut()
        del self._midi
