"""Seats that come and go while the daemon runs."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from chanterd.config import ChanterdError
from chanterd.hearing.ports import PortName
from chanterd.music.units import Ms
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.serving.wire.hub import Viewer
from chanterd.serving.wire.topic import Topic
from tests.serving.played_seat import HandSource, Sitting, loads, rep_line


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Sitting]:
    """Two seats with a hand at each."""
    with Sitting(tmp_path, [HandSource("Kitchen chanter 20:0"), HandSource("Blue chanter")]) as sitting:
        yield sitting


def add(sitting: Sitting, name: str = "Kitchen chanter 24:0", player: str | None = None) -> HandSource:
    """A seat more."""
    source = HandSource(name)
    sitting.run(sitting.daemon.room.add(source, player))
    sitting.settle()
    return source


def test_a_seat_is_added_and_heard(room: Sitting) -> None:
    """It has the next number and a player of its own; the pages get all seats, and its notes from then on."""
    source = add(room)
    assert list(room.daemon.seats) == ["1", "2", "3"]
    assert [(seat["seat"], seat["name"]) for seat in room.of("seats")[-1]["seats"]] == [
        ("1", "Player 1"),
        ("2", "Player 2"),
        ("3", "Player 3"),
    ]
    source.status("ready")
    room.settle()
    assert room.of("chanter")[-1]["seat"] == "3"


def test_a_seat_is_taken_away(room: Sitting) -> None:
    """What goes on there ends, and its number is not given again; the last seat stays."""
    room.practise("grip from B to C", 60, seat="2")
    room.run(room.daemon.room.remove("2"))
    assert [seat["seat"] for seat in room.of("seats")[-1]["seats"]] == ["1"]
    assert room.of("grid")[-1]["practice"] is None
    assert room.sources[1].stopped == 1
    add(room)
    assert list(room.daemon.seats) == ["1", "3"]
    room.run(room.daemon.room.remove("3"))
    with pytest.raises(ChanterdError, match="Seat 1 is the only one left"):
        room.run(room.daemon.room.remove("1"))
    with pytest.raises(ChanterdError, match="'seat' is '2'; it must be '1'"):
        room.run(room.daemon.room.remove("2"))


def test_a_player_sits_at_one_seat(room: Sitting) -> None:
    """A name that sits elsewhere is refused, whatever its capitals."""
    add(room, player="Ailsa")
    with pytest.raises(ChanterdError, match="Ailsa sits at seat 3 already"):
        add(room, player="ailsa")
    assert len(room.daemon.seats) == 3


def test_a_room_has_so_many_places(tmp_path: Path) -> None:
    """Forty, and one more is refused."""
    hands = [HandSource(f"hand {number}") for number in range(40)]
    with Sitting(tmp_path, hands) as full, pytest.raises(ChanterdError, match="There are 40 seats already"):
        add(full)


def test_two_chanters_of_one_model_are_told_apart(room: Sitting, tmp_path: Path) -> None:
    """Each has a calibration of its own, also after the next start and under other numbers."""
    add(room)
    for seat, calibration_ms in (("1", Ms(5.0)), ("3", Ms(9.0))):
        room.daemon.seats[seat]._keep_calibration(calibration_ms)  # what sixteen clicks lead to
    again = [HandSource("Kitchen chanter 32:0"), HandSource("Kitchen chanter 36:0")]
    with Sitting(tmp_path, again) as later:
        shown = [seat["chanter"]["calibration_ms"] for seat in later.daemon.state()["seats"]]
    assert shown == [5.0, 9.0]


def test_a_seat_that_drops_out_keeps_its_place_and_comes_back(room: Sitting) -> None:
    """Its run goes on, and what it plays afterwards counts."""
    room.practise("grip from B to C", 60, seat="1")
    room.play(rep_line(room.cue(), 0))
    room.source.status("gone")
    room.until(room.cue().beat0_ns + 4 * room.cue().rep_ns)
    assert room.daemon.seats["1"].away
    assert room.daemon.seats["1"].practice() is not None
    room.source.status("ready")
    room.play(rep_line(room.cue(), 5))
    room.until(room.cue().beat0_ns + 7 * room.cue().rep_ns)
    assert [(frame["rep"], frame["skipped"]) for frame in room.of("rep")][:6] == [
        (0, False),
        (1, True),
        (2, True),
        (3, True),
        (4, True),
        (5, False),
    ]


def test_whoever_comes_late_plays_along(room: Sitting) -> None:
    """On the class's grid; while one plays alone, a newcomer waits, and the soloist's leaving calls all in again."""
    daemon = room.daemon
    daemon.classroom.begin(resolve(ExerciseWords("grip from B to C", 60), daemon.tables))
    add(room)
    grids = [frame["practice"]["grid"] for frame in room.of("grid")]
    assert len(grids) == 3
    assert grids[2] == grids[0]
    daemon.classroom.alone("3")
    add(room, "Green chanter")
    assert daemon.seats["4"].practice() is None
    room.run(daemon.room.remove("3"))
    assert [seat.practice() is not None for seat in daemon.seats.values()] == [True, True, True]


def test_a_port_that_nobody_listens_to_offers_itself(room: Sitting) -> None:
    """Until a seat has it; the state has the same."""
    ports = [PortName("ALSA", name) for name in ("Kitchen chanter 20:0", "Kitchen chanter 24:0", "Blue chanter")]
    room.daemon.on_ports(ports)
    room.settle()
    [offer] = room.of("offer")
    assert [one["name"] for one in offer["offers"]] == ["Kitchen chanter 24:0"]
    assert room.daemon.state()["offers"] == offer["offers"]
    add(room)
    assert room.of("offer")[-1]["offers"] == []


def test_a_page_of_one_seat_gets_its_own_state_again(room: Sitting) -> None:
    """No word of other seats; when its seat is taken away, a state without it."""
    page = Viewer(lambda: room.daemon.state(Topic(seat="2")), topic=Topic(seat="2"))
    room.daemon.hub.join(page)
    add(room)
    assert len(page) == 0
    room.run(room.daemon.room.remove("2"))
    kinds = [loads(room.run(page.next())) for _ in range(len(page))]
    assert [frame["kind"] for frame in kinds] == ["resync"]
    assert kinds[0]["state"]["seats"] == []
