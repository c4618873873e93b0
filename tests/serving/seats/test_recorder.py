"""What is played at a seat gets its place in the history."""

from chanterd.history.tune_runs import tune_runs_of, tune_take_of
from chanterd.music.note import Note
from chanterd.practice.passage.asked import TuneWords
from tests.bench.tune_performances import shipped
from tests.serving.played_seat import Sitting


def test_a_take_begins_with_what_sounds_already(sitting: Sitting) -> None:
    """A piper blows before the run begins: the note that sounds is in the take of a tune, as in that of a drill."""
    sitting.source.press(Note.E, sitting.now_ns)
    sitting.settle()
    sitting.daemon.play_tune(None, "seven-gulls", shipped("seven-gulls"), TuneWords(116.0, 4, 9))
    sitting.perform(8.0)
    sitting.seat.stop_practice()
    history = sitting.daemon.history
    assert history.writer.settle()
    with history.store.reading() as connection:
        [run] = tune_runs_of(connection, sitting.seat.player.number)
        take = tune_take_of(connection, run.run)
    assert b"\x90" + bytes([Note.E.midi]) in take
    assert (run.input, run.title) == ("hand", "Seven Gulls")
