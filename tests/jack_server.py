"""A JACK server of our own with real virtual MIDI ports, and a chanter in another process to play on them.

Plain helpers without pytest, for tests and benchmarks: ``with JackServer() as server, VirtualChanter() as chanter``.
"""

import fcntl
import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Sequence
from itertools import count
from pathlib import Path
from typing import IO, Self

from chanterd.hearing.driver import API_NAMED, open_client

_numbers = count(1)
NAMES = tuple(f"chanterd-test-{number}" for number in range(6))


class JackServer:
    """``jackd`` with its dummy driver under a free name; while it runs, this process is pointed at it.

    JACK has room for eight names a machine, and one whose server was killed stays taken until that name is used again.
    So there is a fixed set of names, each held by a lock that falls when its holder dies.

    One period is 64 frames at 48 kHz, 1.33 ms: the most that a message waits for the server's next cycle. So that a
    busy machine does not drop messages, cycles wait for their clients (-S) and run in real time (-R) where that is
    allowed; where it is not, jackd says so and goes on without.
    Raises RuntimeError with the words to install it if there is no jackd, or if it does not answer within 20 s.
    """

    def __init__(self) -> None:
        self.name, self._lock = _free_name()
        self.env = {**os.environ, "JACK_DEFAULT_SERVER": self.name, "JACK_NO_AUDIO_RESERVATION": "1"}
        """For a subprocess that shall meet the same server."""
        self._before = {key: os.environ.get(key) for key in ("JACK_DEFAULT_SERVER", "JACK_NO_AUDIO_RESERVATION")}

    def __enter__(self) -> Self:
        jackd = shutil.which("jackd")
        if jackd is None:
            raise RuntimeError(
                "These tests need jackd: install it with 'apt install jackd2' (no sound card is needed)."
            )
        os.environ.update({key: self.env[key] for key in self._before})
        self._process = subprocess.Popen(
            [jackd, "-R", "-P", "10", "-S", "-n", self.name, "-d", "dummy", "-r", "48000", "-p", "64"],
            env=self.env,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            self._wait()
        except BaseException:
            self.__exit__()
            raise
        return self

    def _wait(self) -> None:
        deadline = time.monotonic() + 20
        while time.monotonic() < deadline and self._process.poll() is None:
            try:
                open_client(API_NAMED["JACK"]).close()
            except OSError:
                time.sleep(0.05)
            else:
                return
        raise RuntimeError(f"jackd does not answer (its exit code: {self._process.poll()}).")

    def __exit__(self, *_: object) -> None:
        self._process.terminate()
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._lock.close()
        for key, value in self._before.items():
            if value is None:
                os.environ.pop(key, None)
            else:
                os.environ[key] = value


def _free_name() -> tuple[str, IO[str]]:
    """A server's name that nobody uses, and the lock that holds it. Raises RuntimeError if all are in use."""
    for name in NAMES:
        lock = (Path(tempfile.gettempdir()) / f"{name}.lock").open("w", encoding="utf-8")
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            lock.close()
        else:
            return name, lock
    raise RuntimeError(f"{len(NAMES)} JACK servers of ours are running already; wait for their tests to end.")


class VirtualChanter:
    """Another process with a MIDI output port, called ``NAME:chanter`` by JACK, plugged in on entry.

    Times are ``time.perf_counter_ns``, which all processes share on Linux (it is CLOCK_MONOTONIC there). Leave 100 ms
    between a connection ("ready") and the first note: JACK may drop what is sent while it takes effect.
    """

    def __init__(self, name: str | None = None) -> None:
        self.name = name or f"virtual-{os.getpid()}-{next(_numbers)}"
        self.port = f"{self.name}:chanter"

    def __enter__(self) -> Self:
        self._process = subprocess.Popen(
            [sys.executable, str(Path(__file__).with_name("virtual_chanter.py")), self.name],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            bufsize=1,
        )
        self.plug()
        return self

    def __exit__(self, *_: object) -> None:
        self._stdin.close()
        self._process.wait(10)
        self._stdout.close()

    def plug(self) -> None:
        """Open the port; returns when it is there."""
        self._ask("plug")

    def unplug(self) -> None:
        """Close the port; returns when it is gone."""
        self._ask("unplug")

    def send(self, messages: Iterable[tuple[int, Sequence[int]]]) -> int:
        """Hand over messages, each (when, its bytes), to be sent in that order; 0 is at once. Returns how many."""
        lines = [f"{at_ns} {bytes(data).hex()}\n" for at_ns, data in messages]
        self._stdin.write("".join(lines))
        self._stdin.flush()
        return len(lines)

    def sent(self, number: int) -> list[int]:
        """Wait until that many messages have been sent since the last call; when each of them was."""
        return [int(self._answer()) for _ in range(number)]

    def play(self, messages: Iterable[tuple[int, Sequence[int]]]) -> list[int]:
        """Send the messages and wait until all have been; when each of them was."""
        return self.sent(self.send(messages))

    @property
    def _stdin(self) -> IO[str]:
        if self._process.stdin is None:
            raise RuntimeError("The virtual chanter was started without a pipe to it.")
        return self._process.stdin

    @property
    def _stdout(self) -> IO[str]:
        if self._process.stdout is None:
            raise RuntimeError("The virtual chanter was started without a pipe from it.")
        return self._process.stdout

    def _ask(self, command: str) -> None:
        self._stdin.write(f"{command}\n")
        self._stdin.flush()
        self._answer()

    def _answer(self) -> str:
        line = self._stdout.readline()
        if not line:
            raise RuntimeError(f"The virtual chanter {self.name} ended before it answered; is jackd still running?")
        return line
