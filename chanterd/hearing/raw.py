"""MIDI bytes from a device file or a FIFO, stamped the moment they are read.

All messages that one read brings share its stamp. They are not spread backwards over the 320 us a byte takes on a DIN
wire: a device file may be fed by USB, where they did arrive together, and a guess must not pass for a measurement.
"""

import errno
import os
import select
import stat
import threading
import time
from collections.abc import Callable
from pathlib import Path

from chanterd.hearing.source import Cue, Deliver, Report, SourceStatus
from chanterd.hearing.wire import Wire
from chanterd.music.units import Ns

RETRY_S = 0.25
"""How often a path that cannot be opened is tried again: well under the 2 s within which a plug must show."""
CALM_S = 1.0
"""A writer that has left is reported after so long, seconds: some programs open the path for each note."""
_CHUNK = 4096
_MENDS = {
    errno.ENOENT: "Plug the chanter in, or check the path.",
    errno.EACCES: "You may not read it: join the group that owns it (often 'audio'), then log in again.",
    errno.EBUSY: "Another program holds it: close that one.",
}


class RawSource:
    """Reads one path until it is stopped; a path that disappears is opened again as soon as it is there again."""

    def __init__(self, path: Path, clock: Callable[[], int] = time.perf_counter_ns) -> None:
        self._path = path
        self._clock = clock
        self._stopped = threading.Event()
        self._wake_read, self._wake_write = os.pipe()
        self._thread: threading.Thread | None = None
        self._device: int | None = None
        self._status: SourceStatus | None = None
        self._been_ready = False
        self._left_s: float | None = None

    @property
    def name(self) -> str:
        """The path."""
        return str(self._path)

    def start(self, deliver: Deliver, report: Report) -> None:
        """Begin to read on a thread of its own. To be called once."""
        self._thread = threading.Thread(target=self._run, args=(deliver, report), name=self.name, daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Stop reading, even from the midst of a wait, and close the path. Not to be called from its own callbacks."""
        if self._stopped.is_set():
            return
        self._stopped.set()
        os.write(self._wake_write, b"x")
        if self._thread is not None:
            self._thread.join()
        os.close(self._wake_write)
        os.close(self._wake_read)

    def cue(self, cue: Cue | None) -> None:
        """A device does not care when a run begins."""

    def _run(self, deliver: Deliver, report: Report) -> None:
        while not self._stopped.is_set():
            heard_something = self._open(report) and self._read(deliver, report)
            if self._status is not None and self._status.state == "ended":
                break
            if not heard_something:  # else open again at once: the next writer's first note must not wait
                select.select([self._wake_read], [], [], RETRY_S)
        self._close()

    def _open(self, report: Report) -> bool:
        try:
            device = os.open(self._path, os.O_RDONLY | os.O_NONBLOCK)
        except OSError as error:
            self._close()
            mend = _MENDS.get(error.errno or 0, "Check the path.")
            self._absent(report, f"{self._path} cannot be read ({error.strerror}). {mend}")
            return False
        self._close()  # only now, so that a FIFO always has a reader and its writer is not broken off
        self._device = device
        return True

    def _close(self) -> None:
        if self._device is not None:
            os.close(self._device)
            self._device = None

    def _read(self, deliver: Deliver, report: Report) -> bool:
        """Deliver until the writer goes or the device is unplugged; True if anything was read."""
        device = self._device
        if device is None:
            return False
        mode = os.fstat(device).st_mode
        if stat.S_ISFIFO(mode):
            if not self._been_ready:
                self._absent(report, f"No program writes to {self._path} yet.")
        else:
            self._show(report, SourceStatus("ready", f"Listening to {self._path}."))
        wire = Wire()  # a new one: the next writer does not continue what the last one left unfinished
        heard_something = False
        while self._wait(device):
            if self._replaced(device, heard_something=heard_something):
                break
            try:
                data = os.read(device, _CHUNK)
                at_ns = Ns(self._clock())
            except BlockingIOError:
                continue
            except OSError as error:
                self._close()
                self._absent(report, f"{self._path} is gone ({error.strerror}). Plug the chanter in again.")
                return False
            if not data:
                self._at_end(mode, report)
                break
            heard_something, self._left_s = True, None
            self._show(report, SourceStatus("ready", f"Listening to {self._path}."))
            for message in wire.feed(data):
                deliver(message, at_ns)
        return heard_something

    def _at_end(self, mode: int, report: Report) -> None:
        if stat.S_ISREG(mode):
            self._show(report, SourceStatus("ended", f"{self._path} has been read to the end."))
            return
        self._left_s = self._left_s or time.monotonic()
        if self._been_ready and time.monotonic() - self._left_s >= CALM_S:
            self._absent(report, f"The program that wrote to {self._path} has gone; start it again to go on.")

    def _absent(self, report: Report, said: str) -> None:
        """Waiting for what has not been there yet, or gone if it has; once it is gone, the sentence stays the same."""
        if self._status is None or self._status.state != "gone":
            self._show(report, SourceStatus("gone" if self._been_ready else "waiting", said))

    def _show(self, report: Report, status: SourceStatus) -> None:
        if status != self._status:
            self._status = status
            self._been_ready = self._been_ready or status.state == "ready"
            report(status)

    def _wait(self, device: int) -> bool:
        """Wait a while for bytes, or for the writer to go; False when it is time to stop."""
        select.select([device, self._wake_read], [], [], RETRY_S)
        return not self._stopped.is_set()

    def _replaced(self, device: int, *, heard_something: bool) -> bool:
        """Whether the path is another file by now, or gone before anybody wrote: what is open hears nothing then."""
        ours = os.fstat(device)
        try:
            there = self._path.stat()
        except OSError:
            return not heard_something
        return (there.st_dev, there.st_ino) != (ours.st_dev, ours.st_ino)
