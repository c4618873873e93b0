"""Performing on cue in real time: what is delivered, with which stamps, and when it stops."""

import itertools
import threading
import time
from collections.abc import Callable, Iterable, Iterator

import mido
import pytest

from chanterd.hearing.cued import CuedSource, Timed
from chanterd.hearing.source import Cue, Phrase, SourceStatus
from chanterd.music.note import Note
from chanterd.music.units import Ns
from tests.hearing.listener import Listener

READY = SourceStatus("ready", "Waiting for the cue.")
ENDED = SourceStatus("ended", "Over.")
HOUR_NS = 3600 * 10**9


def on(note: int) -> mido.Message:
    """A note-on."""
    return mido.Message("note_on", note=note)


def cue_at(beat0_ns: int) -> Cue:
    """A cue whose notes do not matter here."""
    return Cue(Ns(beat0_ns), Ns(10**9), (Phrase((Note.B,), (Ns(0),)),))


Rig = Callable[[Callable[[Cue], Iterable[Timed]]], tuple[CuedSource, Listener]]


@pytest.fixture
def rig() -> Iterator[Rig]:
    """Makes a started source with its listener, and stops it in the end."""
    made: list[CuedSource] = []

    def make(perform: Callable[[Cue], Iterable[Timed]]) -> tuple[CuedSource, Listener]:
        source, listener = CuedSource("rig", perform, READY, ENDED), Listener()
        made.append(source)
        source.start(listener.deliver, listener.report)
        listener.wait_for(lambda: listener.states == ["ready"])
        return source, listener

    yield make
    for source in made:
        source.stop()


def test_stamps_are_due_times_not_arrival_times(rig: Rig) -> None:
    """A performance that is an hour late is delivered at once, with the stamps it should have had."""
    source, listener = rig(lambda _cue: [(on(60), Ns(5)), (on(62), Ns(700))])
    beat0_ns = time.perf_counter_ns() - HOUR_NS
    source.cue(cue_at(beat0_ns))
    listener.wait_for(lambda: listener.states == ["ready", "ended"])
    assert [(message.note, at_ns) for message, at_ns in listener.messages] == [(60, beat0_ns + 5), (62, beat0_ns + 700)]


def test_nothing_comes_before_it_is_due() -> None:
    """A message is delivered when its time has come, not earlier."""
    arrived_ns: list[int] = []
    source, listener = CuedSource("rig", lambda _cue: [(on(60), Ns(20_000_000))], READY, ENDED), Listener()
    source.start(lambda _message, _at_ns: arrived_ns.append(time.perf_counter_ns()), listener.report)
    beat0_ns = time.perf_counter_ns()
    source.cue(cue_at(beat0_ns))
    listener.wait_for(lambda: "ended" in listener.states)
    source.stop()
    assert arrived_ns[0] >= beat0_ns + 20_000_000


def test_it_waits_for_the_cue() -> None:
    """Without a cue nothing is performed; a cue given before the start is performed at the start."""
    performed: list[Cue] = []

    def perform(cue: Cue) -> list[Timed]:
        performed.append(cue)
        return []

    source, listener = CuedSource("rig", perform, READY, ENDED), Listener()
    source.cue(cue_at(7))
    source.start(listener.deliver, listener.report)
    listener.wait_for(lambda: listener.states == ["ready", "ended"])
    source.stop()
    assert performed == [cue_at(7)]


def test_withdrawing_the_cue_silences_the_note(rig: Rig) -> None:
    """The note that sounds is released, and only that; the rest is not played; the next cue begins at the start."""
    off = mido.Message("note_off", note=59)
    source, listener = rig(lambda _cue: [(on(59), Ns(0)), (on(60), Ns(0)), (off, Ns(0)), (on(62), Ns(HOUR_NS))])
    source.cue(cue_at(time.perf_counter_ns()))
    listener.wait_for(lambda: len(listener.messages) == 3)
    source.cue(None)
    listener.wait_for(lambda: len(listener.messages) == 4)
    released = listener.messages[3][0]
    assert (released.type, released.note) == ("note_off", 60)
    source.cue(cue_at(time.perf_counter_ns() - 2 * HOUR_NS))
    listener.wait_for(lambda: "ended" in listener.states)
    assert [message.note for message, _ in listener.messages] == [59, 60, 59, 60, 59, 60, 59, 62]
    assert listener.states == ["ready", "ended"]


def test_after_the_end_the_next_cue_is_ready_again(rig: Rig) -> None:
    """A take that has ended can be heard again."""
    source, listener = rig(lambda _cue: [(on(60), Ns(0))])
    source.cue(cue_at(0))
    listener.wait_for(lambda: listener.states.count("ended") == 1)
    source.cue(cue_at(0))
    listener.wait_for(lambda: listener.states.count("ended") == 2)
    assert listener.states == ["ready", "ended", "ready", "ended"]


def test_stopping_interrupts_the_wait_and_nothing_comes_after(rig: Rig) -> None:
    """Stop returns though the next message is due in an hour, may be called twice, and is the end of it."""
    source, listener = rig(lambda _cue: [(on(60), Ns(0)), (on(62), Ns(HOUR_NS))])
    source.cue(cue_at(time.perf_counter_ns()))
    listener.wait_for(lambda: len(listener.messages) == 1)
    source.stop()
    source.stop()
    source.cue(cue_at(0))
    assert len(listener.messages) == 1
    assert not [thread for thread in threading.enumerate() if thread.name == "rig"]


def test_an_endless_performance_is_interrupted(rig: Rig) -> None:
    """A performance without end, all of it due, is left as soon as the cue is taken back."""
    source, listener = rig(lambda _cue: ((on(60), Ns(k)) for k in itertools.count()))
    source.cue(cue_at(0))
    listener.wait_for(lambda: len(listener.messages) > 10)
    source.cue(None)
    listener.wait_for(lambda: listener.messages[-1][0].type == "note_off")
    source.stop()
    assert listener.states == ["ready"]


def test_a_source_never_started_is_stopped_all_the_same() -> None:
    """Stopping before starting is harmless."""
    CuedSource("rig", lambda _cue: [], READY).stop()
