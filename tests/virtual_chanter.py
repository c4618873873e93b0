"""The other process: a chanter that follows commands on stdin, line by line, and answers each line on stdout.

``plug`` and ``unplug`` are answered by ``done``; ``AT_NS HEXBYTES`` sends a message at that perf_counter_ns (0: at
once) and is answered by the perf_counter_ns just before it was sent.
"""

import os
import sys
import time
from contextlib import suppress
from typing import Any

from chanterd.hearing.driver import API_NAMED, library

SPIN_NS = 1_500_000
"""The last stretch before a send is waited out awake, since a sleep may oversleep by a millisecond."""


def plugged(name: str) -> Any:
    """A new output port of that client name."""
    rtmidi = library()
    jack = API_NAMED["JACK"].number
    kind = rtmidi.MidiOut
    out = kind(rtapi=jack, name=name) if rtmidi.__name__ == "rtmidi" else kind(name, jack)
    out.open_virtual_port("chanter")
    return out


def unplug(out: Any) -> None:
    """Make the port go away."""
    if hasattr(out, "delete"):  # python-rtmidi keeps it alive otherwise
        out.delete()
    else:
        out.close_port()


def wait_until(at_ns: int) -> None:
    """Return at that time, or at once if it is past."""
    while (left_ns := at_ns - time.perf_counter_ns()) > 0:
        if left_ns > SPIN_NS:
            time.sleep((left_ns - SPIN_NS) / 1e9)


def main(name: str) -> None:
    """Obey until stdin ends; in real time where that is allowed, so that messages leave when they should."""
    with suppress(OSError):
        os.sched_setscheduler(0, os.SCHED_FIFO, os.sched_param(5))
    out: Any = None
    for line in sys.stdin:
        match line.split():
            case ["plug"]:
                out, answer = plugged(name), "done"
            case ["unplug"]:
                unplug(out)
                out, answer = None, "done"
            case [at_ns, data]:
                wait_until(int(at_ns))
                answer = str(time.perf_counter_ns())
                out.send_message(list(bytes.fromhex(data)))
            case _:
                raise ValueError(f"'{line}' is not a command; it must be plug, unplug or AT_NS HEXBYTES.")
        sys.stdout.write(f"{answer}\n")
        sys.stdout.flush()
    unplug(out)  # a client that just dies holds up the server for seconds


if __name__ == "__main__":
    main(sys.argv[1])
