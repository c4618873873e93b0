"""A source that performs on cue, in real time: the common part of a take that is replayed and of the simulated player.

Stamps are the scheduled times, never the times at which the thread woke up: a busy machine delivers late, but what it
delivers says when the note was due, so that live and file give the same findings.
"""

import threading
import time
from collections.abc import Callable, Iterable

import mido

from chanterd.hearing.source import Cue, Deliver, Report, SourceStatus
from chanterd.music.units import NS_PER_S, Ns

Timed = tuple[mido.Message, Ns]
"""A message and when it is due, in ns after beat 0."""


class CuedSource:
    """Performs each cue from its beginning, on a thread of its own, until it is over or there is another cue.

    ``perform`` turns a cue into messages in order of time, perhaps without end. After a cue is withdrawn, at most the
    message under way is still delivered, then the release of what sounds. Do not call ``stop`` while holding a lock
    that the callbacks wait for: it waits for the thread.
    """

    def __init__(
        self,
        name: str,
        perform: Callable[[Cue], Iterable[Timed]],
        ready: SourceStatus,
        ended: SourceStatus | None = None,
    ) -> None:
        self._name = name
        self._perform = perform
        self._ready = ready
        self._ended = ended
        self._lock = threading.Lock()
        self._changed = threading.Event()
        self._cue: Cue | None = None
        self._stopped = False
        self._thread: threading.Thread | None = None

    @property
    def name(self) -> str:
        """What to call it on screen."""
        return self._name

    def start(self, deliver: Deliver, report: Report) -> None:
        """Be ready for cues; a cue given before is performed now. To be called once."""
        self._thread = threading.Thread(target=self._run, args=(deliver, report), name=self._name, daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Fall silent for good. Nothing is delivered after this has returned."""
        with self._lock:
            self._stopped = True
            self._changed.set()
        if self._thread is not None and self._thread is not threading.current_thread():
            self._thread.join()

    def cue(self, cue: Cue | None) -> None:
        """Perform this cue instead of the last one, or (None) fall silent."""
        with self._lock:
            self._cue = cue
            self._changed.set()

    def _run(self, deliver: Deliver, report: Report) -> None:
        ended = False
        report(self._ready)
        while True:
            self._changed.wait()
            with self._lock:
                if self._stopped:
                    return
                cue = self._cue
                self._changed.clear()
            if ended:
                report(self._ready)
            ended = cue is not None and self._play(cue, deliver) and self._ended is not None
            if ended and self._ended is not None:
                report(self._ended)

    def _play(self, cue: Cue, deliver: Deliver) -> bool:
        """Perform one cue; False if it was interrupted."""
        sounding: dict[tuple[int, int], None] = {}
        for message, due_ns in self._perform(cue):
            at_ns = Ns(cue.beat0_ns + due_ns)
            if not self._reached(at_ns):
                self._release(sounding, deliver)
                return False
            if message.type in ("note_on", "note_off"):
                sounding.pop((message.channel, message.note), None)
                if message.type == "note_on" and message.velocity:
                    sounding[message.channel, message.note] = None
            deliver(message, at_ns)
        return True

    def _reached(self, at_ns: int) -> bool:
        """Wait until then; False as soon as something changed."""
        while (left_ns := at_ns - time.perf_counter_ns()) > 0:
            if self._changed.wait(left_ns / NS_PER_S):
                return False
        return not self._changed.is_set()

    def _release(self, sounding: Iterable[tuple[int, int]], deliver: Deliver) -> None:
        """Release what sounds when a performance is broken off, unless the listener has gone too."""
        now_ns = Ns(time.perf_counter_ns())
        for channel, note in sounding:
            if not self._stopped:
                deliver(mido.Message("note_off", channel=channel, note=note), now_ns)
