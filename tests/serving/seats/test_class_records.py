"""A class in the history: with whom, and how close together; nothing of those who do not wish it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.history.classes import attended, band_of, classes_of
from chanterd.music.units import Bpm
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.practice.ladder.class_ladder import ClassRule
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
