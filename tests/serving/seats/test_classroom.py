"""A classroom of two seats: one click for all, a band frame for each rep, a wall that says who is where."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.music.note import Note
from chanterd.music.units import NS_PER_MS, Bpm, Ns
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.practice.ladder.class_ladder import ClassRule
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


RULE = ClassRule(raise_bpm=4.0, top_bpm=Bpm(66.0), in_a_row=2, share=1.0)


def test_a_class_goes_up_when_all_have_their_row(room: Sitting) -> None:
    """From a bar line of the old tempo, counted in; rows count from nought at each tempo, and the top is not passed."""
    words = ExerciseWords("grip from B to C", 60)
    room.daemon.classroom.begin(resolve(words, room.daemon.tables), RULE)
    first = room.cue()
    play(room, 0, 0.0, 0.0)
    play(room, 1, 0.0, 90.0)
    play(room, 2, 0.0, 0.0)
    rest(room, 3.2)
    assert room.daemon.classroom.shown()["ladder"] is not None
    assert [seat.practice()["grid"]["click_bpm"] for seat in room.daemon.seats.values()] == [60.0, 60.0]  # type: ignore[index]
    play(room, 3, 0.0, 0.0)
    rest(room, 4.4)
    grids = [frame["practice"]["grid"] for frame in room.of("grid") if frame["practice"]]
    assert [grid["click_bpm"] for grid in grids] == [60.0, 60.0, 64.0, 64.0]
    counted_in_ns = grids[-1]["beat0_ns"] - round(4 * 60e9 / 64)
    assert (counted_in_ns - first.beat0_ns) % first.rep_ns == 0
    shown = room.daemon.classroom.shown()
    assert (shown["click_bpm"], shown["playing"]) == (64.0, ["1", "2"])
    for rep in range(2):
        play(room, rep, 0.0, 0.0)
    rest(room, 2.5)
    assert room.daemon.classroom.shown()["click_bpm"] == 66.0


def test_a_held_wall_and_a_solo_hold_the_tempo(room: Sitting) -> None:
    """The teacher talks about what is on it."""
    room.daemon.classroom.begin(resolve(ExerciseWords("grip from B to C", 60), room.daemon.tables), RULE)
    room.daemon.classroom.freeze(frozen=True)
    for rep in range(3):
        play(room, rep, 0.0, 0.0)
    rest(room, 3.5)
    assert room.daemon.classroom.shown()["click_bpm"] == 60.0
    room.daemon.classroom.freeze(frozen=False)
    rest(room, 3.6)
    assert room.daemon.classroom.shown()["click_bpm"] == 64.0


def test_a_top_below_the_first_tempo_is_refused(room: Sitting) -> None:
    """Before anybody begins."""
    exercise = resolve(ExerciseWords("grip from B to C", 80), room.daemon.tables)
    with pytest.raises(ChanterdError, match="top is 66 clicks a minute, below the first tempo, 80"):
        room.daemon.classroom.begin(exercise, RULE)
    assert room.daemon.classroom.run is None


def test_the_click_sounds_at_one_place(room: Sitting) -> None:
    """At the desk at first; then on a seat's page, or on the wall; afterwards each page has its own again."""
    classroom = room.daemon.classroom

    def sounding() -> list[bool]:
        return [room.daemon.shown(seat)["sounds"] for seat in room.daemon.seats.values()]

    assert sounding() == [True, True]
    begin(room)
    assert (sounding(), classroom.wall()["sounds"]) == ([False, False], False)
    classroom.sound_at("2")
    assert sounding() == [False, True]
    classroom.sound_at("wall")
    wall = classroom.wall()
    assert (sounding(), wall["sounds"]) == ([False, False], True)
    assert wall["click"] == classroom.shown()["click"]
    with pytest.raises(ChanterdError, match="There is no seat 'roof'"):
        classroom.sound_at("roof")
    classroom.stop()
    assert (sounding(), classroom.wall()["click"]) == ([True, True], None)


def test_what_the_sound_takes_to_a_seat_is_taken_off(room: Sitting) -> None:
    """343 m/s at 20 degrees C (ISO 9613-1, from memory): 34.3 m are 100 ms; nothing where the seat's page clicks."""
    room.daemon.classroom.place("2", 34.3)
    begin(room)
    play(room, 0, 0.0, 100.0)
    rest(room, 2)
    assert [frame["anchor_ms"] for frame in room.of("rep")][:2] == [0.0, 0.0]
    room.daemon.classroom.sound_at("2")
    play(room, 3, 0.0, 0.0)
    rest(room, 5)
    assert {frame["seat"]: frame["anchor_ms"] for frame in room.of("rep") if frame["rep"] == 3} == {"1": 0.0, "2": 0.0}


def test_all_seats_are_measured_by_one_click(room: Sitting) -> None:
    """Sixteen clicks from the loudspeaker; what is measured has the distance in it, which is 0 afterwards."""
    classroom = room.daemon.classroom
    classroom.place("2", 10.0)
    classroom.measure(None)
    shown = classroom.shown()
    assert (shown["measuring"], shown["click"] and shown["click"]["last"]) == (["1", "2"], 16)
    cue = room.cue()
    for click in range(16):
        for place, late_ms in enumerate((5.0, 34.0)):
            at_ns = cue.beat0_ns + click * cue.rep_ns + round(late_ms * NS_PER_MS)
            room.until(at_ns)
            room.sources[place].press(Note.LOW_A, at_ns)
            room.settle()
            room.sources[place].release(at_ns + 100 * NS_PER_MS)
            room.settle()
    room.until(cue.beat0_ns + 20 * cue.rep_ns)
    seats = room.daemon.state()["seats"]
    assert [round(seat["chanter"]["calibration_ms"] or 0) for seat in seats] == [5, 34]
    assert [seat["distance_m"] for seat in seats] == [0.0, 0.0]
    assert classroom.shown()["measuring"] == []


def test_the_arrangement_is_kept(room: Sitting, tmp_path: Path) -> None:
    """Distances, the wall and the place of the click are there at the next start."""
    room.daemon.classroom.place("2", 6.5)
    room.daemon.classroom.arrange(2.5, 11.0, "numbers")
    room.daemon.classroom.sound_at("wall")
    with Sitting(tmp_path, [HandSource(), HandSource()]) as later:
        later.daemon.tick()
        wall = later.daemon.classroom.wall()
        assert [seat["distance_m"] for seat in later.daemon.state()["seats"]] == [0.0, 6.5]
        assert (wall["picture_m"], wall["distance_m"], wall["sounds"]) == (2.5, 11.0, True)
        assert later.daemon.classroom.shown()["sound"] == "wall"


def test_one_seat_gets_the_wall_and_is_heard_again(room: Sitting) -> None:
    """Its last reps, one below the other; the rep is replayed only from a wall that is held or over."""
    classroom = room.daemon.classroom
    begin(room)
    play(room, 0, 0.0, 20.0)
    play(room, 1, 0.0, 30.0)
    rest(room, 2.5)
    classroom.light("2")
    lit = classroom.wall()["spotlight"]
    assert lit is not None
    assert [(row["name"], row["bars"][-1]["at_ms"]) for row in lit["reps"]][:2] == [("Rep 1", 20.0), ("Rep 2", 30.0)]
    with pytest.raises(ChanterdError, match="hold the wall first"):
        classroom.replay("2", 2)
    classroom.freeze(frozen=True)
    classroom.replay("2", 2)
    replay = classroom.wall()["replay"]
    assert replay is not None
    assert [note["note"] for note in replay["notes"]] == ["B", "low G", "D", "low G", "C"]
    assert (replay["notes"][-1]["at_ms"], replay["factor"]) == (30.0, 2)
    assert replay["began_ns"] > room.now_ns
    classroom.replay(None, 2)
    assert classroom.wall()["replay"] is None
    with pytest.raises(ChanterdError, match="There is no seat '9'"):
        classroom.light("9")


def test_names_can_be_taken_off_a_held_wall(room: Sitting) -> None:
    """What is held are the reps, not the names."""
    begin(room)
    play(room, 0, 0.0, 0.0)
    rest(room, 1)
    room.daemon.classroom.freeze(frozen=True)
    room.daemon.classroom.arrange(None, None, "nothing")
    assert [seat["name"] for seat in room.daemon.classroom.wall()["seats"]] == ["", ""]


def test_who_is_away_is_not_counted_among_those_who_play(room: Sitting) -> None:
    """The seat stays in the class, and is counted again when its chanter is back."""
    begin(room)
    room.sources[1].status("gone")
    room.settle()
    assert room.daemon.classroom.shown()["playing"] == ["1"]
    room.sources[1].status("ready")
    room.settle()
    assert room.daemon.classroom.shown()["playing"] == ["1", "2"]
