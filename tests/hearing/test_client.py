"""The border to RtMidi: with the installed library on a real port, and with stand-ins for what cannot be had here."""

import time
from types import SimpleNamespace
from typing import Any

import pytest

from chanterd.hearing.client import QUEUE_SIZE, Client, PythonRtmidi, Rtmidi2
from chanterd.hearing.driver import API_NAMED, open_client
from tests.jack_server import VirtualChanter

ALSA, JACK = API_NAMED["ALSA"].number, API_NAMED["JACK"].number
NOTE_ON = (0x90, 71, 64)
ACTIVE_SENSING = (0xFE,)
WITHIN_S = 5.0


class FakeMidiIn:
    """What both libraries' MidiIn have in common, and where they differ, as seen in their documentation."""

    def __init__(self, clientname: str = "", queuesize: int = 0, api: int = 0, **named: Any) -> None:
        self.name = named.get("name", clientname)
        self.queue_size = named.get("queue_size_limit", queuesize)
        self.api = named.get("rtapi", api)
        if self.api == ALSA:
            raise RuntimeError("error creating ALSA sequencer client object.")
        self.ignored: dict[str, bool] = {}
        self.ports = ["Chanter"]
        self.deltatime = 0.25
        self.queue = [[*NOTE_ON]]

    def get_current_api(self) -> int:
        """JACK, whatever was asked for."""
        return JACK

    def ignore_types(self, **ignored: bool) -> None:
        """Remember it."""
        self.ignored = ignored

    def open_port(self, index: int) -> None:
        """As rtmidi2 complains."""
        if index >= len(self.ports):
            raise ValueError("port number out of range")

    def get_message(self) -> list[int] | None:
        """The next one."""
        return self.queue.pop(0) if self.queue else None

    def close_port(self) -> None:
        """Nothing to do."""


def rtmidi2_client(api: int = JACK) -> Rtmidi2:
    """A client of a stand-in for rtmidi2."""
    return Rtmidi2(SimpleNamespace(MidiIn=FakeMidiIn), api)


def read_all(client: Client, number: int) -> list[tuple[list[int], float]]:
    """That many messages, as they arrive."""
    found: list[tuple[list[int], float]] = []
    deadline = time.monotonic() + WITHIN_S
    while len(found) < number and time.monotonic() < deadline:
        message = client.read()
        if message:
            found.append(message)
        else:
            time.sleep(0.001)
    return found


def test_active_sensing_between_notes_takes_no_time_away(virtual_chanter: VirtualChanter) -> None:
    """Driver time adds up over a chanter that sends active sensing between its notes (MIDI 1.0: FE when idle)."""
    client = open_client(API_NAMED["JACK"])
    client.open(client.ports().index(virtual_chanter.port))
    begin_ns = time.perf_counter_ns() + 100_000_000
    sent_ns = virtual_chanter.play(
        [(begin_ns + 5_000_000 * k, NOTE_ON if k % 2 else ACTIVE_SENSING) for k in range(100)]
    )
    heard = read_all(client, 100)
    client.close()
    assert [tuple(data) for data, _ in heard] == [NOTE_ON if k % 2 else ACTIVE_SENSING for k in range(100)]
    # Half the time would be lost without active sensing; a busy machine delays a message by much less.
    assert sum(delta_s for _, delta_s in heard[1:]) > 0.7 * (sent_ns[-1] - sent_ns[0]) / 1e9


def test_a_queue_outlasts_a_long_stall(virtual_chanter: VirtualChanter) -> None:
    """A thousand messages that nobody reads for a while are all there afterwards, in order."""
    client = open_client(API_NAMED["JACK"])
    client.open(client.ports().index(virtual_chanter.port))
    virtual_chanter.play([(time.perf_counter_ns() + 100_000_000, ACTIVE_SENSING)])  # the connection is up by then
    read_all(client, 1)
    notes = [(0x90, 60 + k % 12, 1 + k % 100) for k in range(1000)]
    for first in range(0, len(notes), 20):  # the sender's own buffer holds few
        virtual_chanter.play([(time.perf_counter_ns() + 3_000_000, note) for note in notes[first : first + 20]])
    heard = read_all(client, 1000)
    client.close()
    assert [tuple(data) for data, _ in heard] == notes


def test_an_api_that_was_not_built_in_is_an_error() -> None:
    """Asked for an API that its build lacks, python-rtmidi is not used at all."""
    with pytest.raises(OSError, match="does not know"):
        PythonRtmidi(SimpleNamespace(get_compiled_api=lambda: [ALSA]), JACK)


def test_rtmidi2_reads_with_differences() -> None:
    """From rtmidi2 come the bytes of a message and its time difference in seconds, then nothing."""
    client = rtmidi2_client()
    assert client.ports() == ["Chanter"]
    client.open(0)
    assert client.read() == ([*NOTE_ON], 0.25)
    assert client.read() is None


def test_rtmidi2_filters_nothing_and_queues_much() -> None:
    """No kind of message is left out by rtmidi2, and its queue is as long as ours."""
    fake = rtmidi2_client()._midi
    assert set(fake.ignored.values()) == {False}
    assert set(fake.ignored) == {"midi_sysex", "midi_time", "midi_sense"}
    assert fake.queue_size == QUEUE_SIZE


def test_rtmidi2_errors_are_os_errors() -> None:
    """A port or a driver that is not there gives the same sentence as with python-rtmidi."""
    with pytest.raises(OSError, match="sequencer"):
        rtmidi2_client(ALSA)
    with pytest.raises(OSError, match="out of range"):
        rtmidi2_client().open(1)


def test_rtmidi2_handing_out_another_api_is_an_error() -> None:
    """Where rtmidi2 lacks the API asked for it takes another one by itself, which is not what was meant."""
    with pytest.raises(OSError, match="does not know"):
        rtmidi2_client(API_NAMED["WinMM"].number)
