"""A classroom of two seats: one click for all, a band frame for each rep, a wall that says who is where."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.music.units import Ns
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.serving.wire.hub import Viewer
from chanterd.serving.wire.topic import Topic
from tests.serving.played_seat import HandSource, Sitting, rep_line


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Sitting]:
    """Two seats with a hand at each."""
    with Sitting(tmp_path, [HandSource("first"), HandSource("second")]) as sitting:
        yield sitting


def begin(sitting: Sitting, drill: str = "grip from B to C", **more: object) -> None:
    """Start the class at 60 clicks."""
    words = ExerciseWords(drill, 60, **more)  # type: ignore[arg-type]
    sitting.daemon.classroom.begin(resolve(words, sitting.daemon.tables))


def play(sitting: Sitting, rep: int, *offs_ms: float) -> None:
    """One rep of each seat, that much late, in order of time."""
    cue = sitting.cue()
    lines = [rep_line(cue, rep, off_ms=off_ms) for off_ms in offs_ms]
    for at_ns, place, note in sorted((at, place, note) for place, line in enumerate(lines) for note, at in line):
        sitting.until(at_ns)
        sitting.sources[place].press(note, at_ns)
        sitting.settle()


def rest(sitting: Sitting, reps: float) -> None:
    """Let time pass until that rep."""
    cue = sitting.cue()
    sitting.until(Ns(cue.beat0_ns + round(reps * cue.rep_ns)))


def test_both_play_on_one_grid_and_the_band_is_put_together(room: Sitting) -> None:
    """One is 10 ms late, the other 30: 20 ms apart, a standard deviation of 14.1."""
    begin(room)
    one, other = (frame["practice"]["grid"] for frame in room.of("grid"))
    assert one == other
    play(room, 0, 10.0, 30.0)
    rest(room, 2)
    [band] = room.of("band")
    assert (band["rep"], band["seats"]) == (0, 2)
    assert (band["beat"]["middle_ms"], band["beat"]["spread_ms"], band["together_ms"]) == (20.0, 14.1, 14.1)
    wall = room.daemon.classroom.wall()
    assert [(seat["seat"], seat["name"], seat["word"]) for seat in wall["seats"]] == [
        ("1", "Player 1", "clean"),
        ("2", "Player 2", "clean"),
    ]
    assert wall["seats"][1]["bars"][-1] == {"note": "C", "at_ms": 30.0, "length_ms": None, "theme": True}


def test_stopping_ends_it_for_all_and_the_wall_keeps_the_last_rep(room: Sitting) -> None:
    """Each seat's run is over, with what was played kept."""
    begin(room)
    play(room, 0, 0.0, 0.0)
    room.daemon.classroom.stop()
    assert [frame["practice"] is None for frame in room.of("grid")] == [False, False, True, True]
    assert room.daemon.classroom.run is None
    wall = room.daemon.classroom.wall()
    assert (wall["state"], [seat["word"] for seat in wall["seats"]]) == ("over", ["clean", "clean"])


def test_one_seat_plays_alone_and_the_others_come_in_again(room: Sitting) -> None:
    """On the same grid, so that the click goes on."""
    begin(room)
    room.daemon.classroom.alone("2")
    assert [seat.practice() is None for seat in room.daemon.seats.values()] == [True, False]
    room.daemon.classroom.alone(None)
    grids = [frame["practice"]["grid"] for frame in room.of("grid") if frame["practice"]]
    assert grids[-1] == grids[0]
    with pytest.raises(ChanterdError, match="There is no seat '9'"):
        room.daemon.classroom.alone("9")


def test_a_seat_that_does_something_else_has_left_the_class(room: Sitting) -> None:
    """Nobody is torn out of what they do; when all have left, the class is over."""
    begin(room)
    room.practise("birl from E", 90, seat="1")
    run = room.daemon.classroom.run
    assert run is not None
    assert set(run.seats) == {"2"}
    room.daemon.seats["2"].end()
    assert room.daemon.classroom.run is None
    assert room.daemon.seats["1"].practice() is not None


def test_the_wall_is_held_while_the_class_plays_on(room: Sitting) -> None:
    """And goes on from the newest rep."""
    begin(room)
    play(room, 0, 0.0, 0.0)
    rest(room, 1)
    room.daemon.classroom.freeze(frozen=True)
    play(room, 1, 90.0, 0.0)
    rest(room, 2.5)
    assert room.daemon.classroom.wall()["seats"][0]["word"] == "clean"
    room.daemon.classroom.freeze(frozen=False)
    assert room.daemon.classroom.wall()["seats"][0]["word"] == "90 late"


def test_what_a_class_cannot_do_is_refused(room: Sitting) -> None:
    """One click for all; and nothing is held where no class plays."""
    with pytest.raises(ChanterdError, match="it cannot have the click off"):
        begin(room, click_off=True)
    with pytest.raises(ChanterdError, match="No class is under way"):
        room.daemon.classroom.freeze(frozen=True)
    with pytest.raises(ChanterdError, match="No class is under way"):
        room.daemon.classroom.alone("1")


def test_the_wall_has_frames_of_its_own(room: Sitting) -> None:
    """Ten a second at most, no step and no note, however much is played."""
    wall = Viewer(room.daemon.state, topic=Topic(wall=True))
    room.daemon.hub.join(wall)
    begin(room)
    for rep in range(3):
        play(room, rep, 0.0, 5.0)
    rest(room, 4)
    frames = [json.loads(room.run(wall.next())) for _ in range(len(wall))]
    assert {frame["kind"] for frame in frames} == {"wall"}
    assert 3 <= len(frames) <= 50
    assert frames[-1]["band"]["seats"] == 2
