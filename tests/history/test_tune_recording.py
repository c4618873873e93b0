"""A run through a tune on its way into the history."""

from chanterd.history.store import Store
from chanterd.history.tune_record import TuneEntry, TunePartPlayed, TuneRunEnded
from chanterd.history.tune_recording import PART_NS, TuneRecording
from chanterd.music.units import Ns
from chanterd.practice.tune_run import TunePlayed
from tests.history.played_tunes import simulated, tune_begun, tune_midi
from tests.history.practised_runs import noon, somebody
from tests.history.test_tune_ledger import ONE


def recording(store: Store, put: list[TuneEntry]) -> TuneRecording:
    """One that puts its entries there."""
    return TuneRecording(tune_begun(somebody(store), ONE), Ns(0), put.append, noon)


def test_the_parts_of_a_take_are_the_whole_take(store: Store) -> None:
    """Some while it is played, the rest at its end, numbered from 0."""
    put: list[TuneEntry] = []
    one = recording(store, put)
    for message, at_ns in ONE.performance.messages:
        one.take(message, at_ns)
        one.reached(at_ns)
    one.end("stopped", ONE.run().found())
    assert b"".join(entry.midi for entry in put) == tune_midi(ONE)
    assert [entry.part for entry in put] == list(range(len(put)))
    assert len(put) == 1 + ONE.performance.messages[-1][1] // PART_NS
    assert isinstance(put[-1], TuneRunEnded)
    assert all(isinstance(entry, TunePartPlayed) for entry in put[:-1])


def test_a_run_in_which_nothing_of_the_tune_was_played_leaves_no_trace(store: Store) -> None:
    """The player tried the chanter and thought better of it."""
    put: list[TuneEntry] = []
    one = recording(store, put)
    for message, at_ns in ONE.performance.messages[:4]:
        one.take(message, at_ns)
    one.end("stopped", TunePlayed(notes=[], summary=simulated().run().found()["summary"]))
    assert put == []


def test_a_chanter_that_is_unplugged_falls_silent_in_the_take(store: Store) -> None:
    """Where no message says so; where one does, nothing is added."""
    put: list[TuneEntry] = []
    one = recording(store, put)
    message, at_ns = ONE.performance.messages[0]
    one.take(message, at_ns)
    one.silence(at_ns)
    one.silence(Ns(at_ns + 1000))
    one.end("stopped", ONE.run().found())
    assert put[0].midi.count(b"\xb0\x78") == 1  # MIDI 1.0: all sound off
