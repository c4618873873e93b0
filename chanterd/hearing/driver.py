"""Which ways to MIDI ports a system has and whether they work: a table of APIs, and the library that speaks them."""

import ctypes
import importlib
import logging
import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import cache
from threading import Lock
from types import ModuleType

from chanterd.hearing.client import Client, PythonRtmidi, Rtmidi2

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Api:
    """One way to MIDI ports that a system may offer."""

    name: str
    number: int
    """RtMidi's number for it, the same in both libraries."""
    platform: str
    """How ``sys.platform`` begins where it is found."""
    mend: str
    """What to do when it does not work; part of a sentence."""
    packed: bool = False
    """See :attr:`chanterd.hearing.stamp.StampLimits.packed`."""


APIS = (
    Api("ALSA", 2, "linux", "load the ALSA sequencer with 'sudo modprobe snd-seq' and be in the group 'audio'"),
    Api("JACK", 3, "linux", "start a JACK server"),
    Api("CoreMIDI", 1, "darwin", "check that Audio MIDI Setup opens and shows its MIDI Studio", packed=True),
    Api("WinMM", 4, "win32", "restart the service 'Windows Audio'"),
)
"""In order of preference: a chanter that is reached in two ways is taken from the first."""

API_NAMED = {api.name: api for api in APIS}


def apis_here() -> list[Api]:
    """The ways to MIDI ports on this platform, preferred first."""
    return [api for api in APIS if sys.platform.startswith(api.platform)]


def no_driver() -> str:
    """The sentence for a person when none of them works."""
    try:
        library()
    except ImportError as error:
        return (
            f"No MIDI port can be reached, because the MIDI library does not load ({error}): reinstall chanterd with"
            " pip, and on Debian or Ubuntu install 'libasound2'."
        )
    mends = ", or ".join(api.mend for api in apis_here()) or f"none is known for the platform '{sys.platform}'"
    return (
        f"No MIDI port can be reached on this computer: {mends}. 'demo', a .mid file and 'raw:PATH' work without one."
    )


@cache
def library() -> ModuleType:
    """The RtMidi wrapper that is installed: python-rtmidi, else rtmidi2. Raises ImportError if neither loads."""
    with suppress(OSError):
        # Wheels bring a libjack of their own, which may be too old for the server that runs here ("protocol mismatch",
        # seen with rtmidi2 1.5). The system's own, loaded first and for all to see, takes its place.
        ctypes.CDLL("libjack.so.0", mode=ctypes.RTLD_GLOBAL)
    try:
        return importlib.import_module("rtmidi")
    except ImportError as first:
        try:
            return importlib.import_module("rtmidi2")
        except ImportError:
            raise first from None


def open_client(api: Api) -> Client:
    """A client that speaks to this API. Raises OSError saying why if it does not work here, now."""
    try:
        rtmidi = library()
    except ImportError as error:
        raise OSError(str(error)) from error
    make = PythonRtmidi if rtmidi.__name__ == "rtmidi" else Rtmidi2
    with _stderr_to_log() as said:
        client: Client = make(rtmidi, api.number)
    if "server not running" in said[0]:
        # rtmidi2 warns and goes on, with a client that never sees a port.
        client.close()
        raise OSError(said[0].strip())
    return client


_stderr_lock = Lock()


@contextmanager
def _stderr_to_log() -> Iterator[list[str]]:
    """What C libraries write to the terminal meanwhile goes to the debug log, and into the one text that is yielded.

    Drivers that are not there write past Python, in words that help no player; the status has a sentence of its own.
    """
    said = [""]
    with _stderr_lock, tempfile.TemporaryFile() as file:
        try:
            kept = os.dup(2)
        except OSError:  # no stderr at all, as in a windowed program
            yield said
            return
        os.dup2(file.fileno(), 2)
        try:
            yield said
        finally:
            os.dup2(kept, 2)
            os.close(kept)
            file.seek(0)
            said[0] = file.read().decode(errors="replace")
            if said[0]:
                log.debug("While a MIDI driver was opened: %s", said[0].strip())
