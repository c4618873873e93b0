"""A run on its way into the history: what is handed over, and when."""

import io

import mido

from chanterd.hearing.track import take_file
from chanterd.history.players import Player
from chanterd.history.record import Entry, RepsClosed, RunEnded
from chanterd.history.recording import Recording
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import Ns
from tests.history.practised_runs import GRIP, begun, judged, noon

BEAT0_NS = Ns(7_000_000_000_000)
PLAYED, RESTED = judged(GRIP, [4.0, None, 5.0])[:2]


class Desk:
    """Takes what is put."""

    def __init__(self, calibration_ns: int | None = None) -> None:
        self.put: list[Entry] = []
        run = begun(Player(1, "Ailsa"))
        self.begun = type(run)(**{name: getattr(run, name) for name in run.__slots__} | {"lead_in_clicks": 2})
        if calibration_ns is not None:
            fields = {name: getattr(self.begun, name) for name in run.__slots__}
            self.begun = type(run)(**fields | {"calibration_ns": Ns(calibration_ns)})
        self.recording = Recording(self.begun, BEAT0_NS, self.put.append, self.wall)

    def wall(self) -> WallTime:
        """An hour after the run began."""
        return WallTime(noon().ns + 3_600_000_000_000, 0)

    def heard(self) -> list[tuple[str, float]]:
        """The take so far: message types, and seconds from beat 0."""
        data = take_file(60.0, 2, [one.midi for one in self.put])
        at, found = -2.0, []
        for message in mido.MidiFile(file=io.BytesIO(data)):
            at += message.time
            if not message.is_meta:
                found.append((message.type, round(at, 4)))
        return found


def on(note: int = 67) -> mido.Message:
    """A note begins."""
    return mido.Message("note_on", note=note, velocity=64)


def test_each_rep_is_handed_over_as_it_closes_with_its_part_of_the_take() -> None:
    """What came after it goes with the next, or with the end."""
    desk = Desk()
    desk.recording.take(on(), Ns(BEAT0_NS - 1_500_000_000))
    desk.recording.rep(PLAYED)
    assert desk.heard() == [("note_on", -1.5)]
    desk.recording.take(on(69), Ns(BEAT0_NS + 2_000_000_000))
    assert len(desk.put) == 1
    desk.recording.end("stopped")
    first, last = desk.put
    assert isinstance(first, RepsClosed)
    assert (list(first.results), first.wall) == ([PLAYED], desk.wall())
    assert isinstance(last, RunEnded)
    assert last.why == "stopped"
    assert desk.heard() == [("note_on", -1.5), ("note_on", 2.0)]


def test_a_rest_is_handed_over_with_the_next_rep_that_is_played() -> None:
    """So reps have no gap, and a rest at the end leaves nothing."""
    desk = Desk()
    desk.recording.rep(PLAYED)
    desk.recording.rep(RESTED)
    assert len(desk.put) == 1
    desk.recording.rep({**PLAYED, "rep": 2})
    entry = desk.put[1]
    assert isinstance(entry, RepsClosed)
    assert [result["rep"] for result in entry.results] == [1, 2]
    desk.recording.rep({**RESTED, "rep": 3})
    desk.recording.end("stopped")
    assert len(desk.put) == 3


def test_a_run_in_which_nothing_was_played_leaves_nothing() -> None:
    """Started and stopped again: no row."""
    desk = Desk()
    desk.recording.take(on(), BEAT0_NS)
    desk.recording.rep({**RESTED, "rep": 0})
    desk.recording.end("stopped")
    assert desk.put == []


def test_the_calibration_is_taken_off_the_take() -> None:
    """As it is off what is judged: the take judges the same wherever it is read."""
    desk = Desk(calibration_ns=40_000_000)
    desk.recording.take(on(), Ns(BEAT0_NS + 1_040_000_000))
    desk.recording.rep(PLAYED)
    assert desk.heard() == [("note_on", 1.0)]


def test_a_silence_without_a_message_is_written_down() -> None:
    """Unplugged: all sound off (MIDI 1.0: control 120). One with a note-off is there already."""
    desk = Desk()
    desk.recording.take(mido.Message("note_off", note=67), Ns(BEAT0_NS + 1_000_000_000))
    desk.recording.silence(Ns(BEAT0_NS + 1_000_000_000))
    desk.recording.silence(Ns(BEAT0_NS + 2_000_000_000))
    desk.recording.rep(PLAYED)
    assert desk.heard() == [("note_off", 1.0), ("control_change", 2.0)]
