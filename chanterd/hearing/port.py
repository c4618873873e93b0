"""A chanter on a MIDI port: found by its name, listened to, waited for when it is unplugged.

One thread looks for the port, reads it and notices when it goes; it has RtMidi clients of its own, because some
systems report changes of the list of ports only to the thread that read it first (CoreMIDI, from memory). How a port
is read, and why: ``client.py``. On JACK a message's time is the start of the server's period in which it arrived, so
the period should be short (64 to 256 frames).
"""

import time
from collections.abc import Sequence
from threading import Event, Thread, current_thread

from chanterd.hearing.claims import OURS, Claims
from chanterd.hearing.client import Client
from chanterd.hearing.driver import no_driver
from chanterd.hearing.ports import AmbiguousPortError, Clients, Place, PortName, find_port, list_ports
from chanterd.hearing.source import Cue, Deliver, Report, SourceState, SourceStatus
from chanterd.hearing.stamp import Stamper, StampLimits
from chanterd.hearing.wire import Wire
from chanterd.music.units import NS_PER_MS, NS_PER_S

__all__ = ["AmbiguousPortError", "PortName", "PortSource", "find_port", "list_ports"]

READ_S = 0.00025
"""Pause between two looks into an empty queue while somebody plays, seconds: a quarter of what one note-on takes on a
MIDI cable (0.96 ms)."""

IDLE_S = 0.001
"""The same while nobody plays: a chanter left plugged in costs little, and only the first note is heard later by it."""

PLAYS_NS = 2_000 * NS_PER_MS
"""For this long after the last message, somebody still plays: at 60 clicks no note of a drill lasts longer."""

LOOK_NS = 250 * NS_PER_MS
"""Between two looks at the list of ports: an unplugging shows at the next one, and no USB device is back so soon."""

UNWANTED = frozenset({"clock", "quarter_frame"})
"""Messages that say nothing about what is played, hundreds of them (``Wire`` drops more)."""


def pause_s(quiet_ns: int) -> float:
    """How long to wait before the next look, this long after the last message."""
    return READ_S if quiet_ns < PLAYS_NS else IDLE_S


class PortSource:
    """A live chanter, by a port's name or a unique part of it. See :class:`chanterd.hearing.source.Source`.

    A name that fits no port is waited for, because the chanter may be plugged in later; so is one that fits several,
    with a sentence that names them. Call ``find_port(name, list_ports())`` first to refuse it instead.
    """

    def __init__(self, name: str, claims: Claims = OURS) -> None:
        self._name = name
        self._claims = claims
        self._stop = Event()
        self._thread: Thread | None = None
        self._reported: SourceStatus | None = None
        self._was_there = False
        self._others: frozenset[str] = frozenset()

    @property
    def name(self) -> str:
        """The port's name in the system; until it is found, the name it is looked for by."""
        return self._name

    def start(self, deliver: Deliver, report: Report) -> None:
        """Look for the port and listen to it, on a thread of its own."""
        self._deliver, self._report = deliver, report
        self._claims.join(self, self._name)
        self._thread = Thread(target=self._run, name=f"port {self._name}", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Stop listening and close the port."""
        self._stop.set()
        if self._thread and self._thread is not current_thread():
            self._thread.join()
        self._claims.leave(self)

    def cue(self, cue: Cue | None) -> None:
        """A live chanter plays what its player plays."""

    def _run(self) -> None:
        clients = Clients()
        try:
            while not self._stop.is_set():
                place = self._find(clients)
                if place is None or not self._hear(clients, place):
                    self._stop.wait(LOOK_NS / NS_PER_S)
        except BaseException:
            self._show(
                "gone", f"Listening to '{self._name}' ended by an internal error: restart chanterd and report it."
            )
            raise  # to the thread's hook, which prints it: a fault must not hide
        finally:
            clients.close(*clients.open)

    def _find(self, clients: Clients) -> Place | None:
        """Where the port is now; if it is not there, the status says so."""
        places = clients.look()
        unwanted = self._others | self._claims.taken(self)
        ports = [place.port for place in places if place.port.name not in unwanted]
        open_choice = ""
        try:
            port = find_port(self._name, ports)
            fitting = [] if port is None else [port]
        except AmbiguousPortError as error:
            open_choice, fitting = str(error), list(error.ports)
        if not fitting:
            self._report_absent(ports, any_driver=bool(clients.open))
            return None
        name = self._claims.take(self, [port.name for port in fitting])
        if name is None:
            self._report_waiting(open_choice or f"Another seat listens to '{fitting[0].name}': plug in one more.")
            return None
        return next(place for place in places if place.port in fitting and place.port.name == name)

    def _hear(self, clients: Clients, place: Place) -> bool:
        """Open the port and listen until it is gone. False if it does not open."""
        client = clients.only(place.api)
        try:
            client.open(place.index)
        except OSError as error:
            self._claims.gone(self)
            self._report_waiting(f"'{place.port.name}' cannot be opened ({error}): close the program that uses it.")
            return False
        # From now on this port is meant, even if others that fit are plugged in.
        self._name, self._was_there = place.port.name, True
        try:
            self._listen(client, Stamper(StampLimits(packed=place.api.packed)))
        finally:
            client.shut()
            self._claims.gone(self)
        if not self._stop.is_set():
            self._show("gone", f"'{self._name}' was unplugged: plug it in again to go on.")
        return True

    def _listen(self, client: Client, stamper: Stamper) -> None:
        """Deliver what the port sends, until it is no longer in the list of ports."""
        wire = Wire()
        empty_ns = looked_ns = time.perf_counter_ns()
        heard_ns = empty_ns - PLAYS_NS
        self._show("ready", f"Listening to '{self._name}'.")
        while not self._stop.is_set():
            asked_ns = time.perf_counter_ns()
            message = client.read()
            arrival_ns = time.perf_counter_ns()
            if message:
                data, delta_s = message
                said, at_ns = stamper.said, stamper.stamp(arrival_ns, delta_s, empty_ns)
                for one in wire.feed(bytes(data)):
                    if one.type not in UNWANTED:
                        heard_ns = arrival_ns
                        self._deliver(one, at_ns)
                if stamper.said != said:
                    self._show("ready", f"Listening to '{self._name}'. {stamper.said}", stamper)
                continue
            empty_ns = asked_ns
            if asked_ns - looked_ns > LOOK_NS:
                looked_ns = asked_ns
                there = client.ports()
                if self._name not in there:
                    # Another chanter of the same make may still be there; it must not pass for this one.
                    self._others = frozenset(there)
                    return
            time.sleep(pause_s(asked_ns - heard_ns))

    def _report_absent(self, ports: Sequence[PortName], *, any_driver: bool) -> None:
        if not any_driver:
            self._show("no driver", no_driver())
            return
        names = ", ".join(f"'{port.name}'" for port in ports)
        there = f"choose one of these: {names}" if names else "check that it is on: there is no MIDI input now"
        self._report_waiting(f"No MIDI port has '{self._name}' in its name yet: plug the chanter in, or {there}.")

    def _report_waiting(self, said: str) -> None:
        """Not there yet; a port that has been there stays "gone" until it is back."""
        if not self._was_there:
            self._show("waiting", said)

    def _show(self, state: SourceState, said: str, stamper: Stamper | None = None) -> None:
        status = SourceStatus(state, said, stamper.timing if stamper else "arrival")
        if status != self._reported:
            self._reported = status
            self._report(status)
