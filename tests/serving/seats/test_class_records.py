"""A class in the history: with whom, and how close together; nothing of those who do not wish it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.history.classes import attended, band_of, classes_of
from chanterd.history.tune_runs import tune_runs_of
from chanterd.music.units import Bpm
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.practice.ladder.class_ladder import ClassRule
from chanterd.practice.passage.asked import TuneWords
from tests.bench.tune_performances import shipped
from tests.serving.played_seat import HandSource, Sitting
from tests.serving.seats.test_classroom import begin, play, rest


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Sitting]:
    """Two seats with a hand at each."""
    with Sitting(tmp_path, [HandSource("first"), HandSource("second")]) as sitting:
        yield sitting


def kept(room: Sitting) -> list[tuple[str, list[int], list[tuple[str, str]]]]:
    """Each class: its drill, the numbers of the band's reps, and seat and name of each run; the newest first."""
    history = room.daemon.history
    assert history.writer.settle(10)
    with history.store.reading() as connection:
        return [
            (
                one.drill,
                [rep.number for rep in band_of(connection, one.number)],
                [(run.seat, run.name) for run in attended(connection, one.number)],
            )
            for one in classes_of(connection)
        ]


def test_a_class_is_kept_as_one(room: Sitting) -> None:
    """Each rep of the band, and each seat's run; the next class is another."""
    begin(room)
    for rep in range(2):
        play(room, rep, 0.0, 20.0)
    rest(room, 2.6)
    room.daemon.classroom.stop()
    begin(room, "birl from E")
    room.daemon.classroom.stop()
    assert kept(room) == [("grip from B to C", [0, 1], [("1", "Player 1"), ("2", "Player 2")])]


def test_all_tempi_of_a_ladder_are_one_class(room: Sitting) -> None:
    """With a run for each tempo, and the band's reps counted on."""
    rule = ClassRule(4.0, Bpm(80.0), 1, 1.0)
    words = ExerciseWords("grip from B to C", 60)
    room.daemon.classroom.begin(resolve(words, room.daemon.tables), rule)
    for _ in range(2):
        play(room, 0, 0.0, 0.0)
        rest(room, 1.4)
    room.daemon.classroom.stop()
    assert kept(room) == [("grip from B to C", [0, 1], [("1", "Player 1")] * 2 + [("2", "Player 2")] * 2)]


def test_whoever_does_not_wish_it_is_not_kept(room: Sitting, tmp_path: Path) -> None:
    """Neither their runs nor their name, in this class and after the next start; what they practise alone is."""
    room.daemon.classroom.keep("2", keep=False)
    assert room.daemon.classroom.shown()["unkept"] == ["2"]
    begin(room)
    play(room, 0, 0.0, 20.0)
    rest(room, 1.6)
    room.daemon.classroom.stop()
    assert kept(room) == [("grip from B to C", [0], [("1", "Player 1")])]
    with room.daemon.history.store.reading() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM runs").scalar() == 1
    with Sitting(tmp_path, [HandSource(), HandSource()]) as later:
        assert later.daemon.classroom.shown()["unkept"] == ["2"]
        later.daemon.classroom.keep("2", keep=True)
        assert later.daemon.classroom.shown()["unkept"] == []


def test_what_they_play_alone_of_a_tune_is_kept_as_their_drills_are(room: Sitting) -> None:
    """The wish is about the class; a drill and a passage of a tune that they start themselves are in their history."""
    room.daemon.classroom.keep("2", keep=False)
    tune, source = shipped("seven-gulls"), room.sources[1]
    begins_ns = room.daemon.play_tune("2", "seven-gulls", tune, TuneWords(116.0, 4, 9))["begins_ns"]
    eighth_ns = round(60e9 / 116 / 3)
    for note in tune.notes[4:10]:
        source.press(note.note, begins_ns + round((note.start - tune.notes[4].start) * 8) * eighth_ns)
    room.settle()
    room.daemon.seat("2").stop_practice()
    history = room.daemon.history
    assert history.writer.settle()
    with history.store.reading() as connection:
        [run] = tune_runs_of(connection, room.daemon.seat("2").player.number)
    assert (run.tune, run.heard) == ("seven-gulls", True)
