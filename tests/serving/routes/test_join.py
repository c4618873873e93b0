"""Joining a class from another machine: the route, and what it refuses."""

import json
import secrets
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from websockets.exceptions import ConnectionClosed

from chanterd.hearing.inputs import open_input
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import AT_THIS_MACHINE, Grant, Role
from tests.serving.routes.test_enter import LAN, Class, closed
from tests.serving.running_daemon import Viewing, ask, served


@pytest.fixture
def room(tmp_path: Path) -> Iterator[Class]:
    """A free place for Ailsa, and a simulated player beside it."""
    sources = [open_input("join"), open_input("demo")]
    with served(tmp_path, sources, Network([LAN]), ["Ailsa", "Bram"]) as (here, daemon):
        yield Class(daemon, here)


def say(socket: Any, **frame: Any) -> Any:
    """Send a frame; the answer."""
    socket.send(json.dumps(frame))
    return json.loads(socket.recv(timeout=20))


def hello(**more: Any) -> dict[str, Any]:
    """The first frame of a joiner that was never there."""
    return {"kind": "join", "who": secrets.token_hex(8), "input": "my chanter", **more}


def compare(socket: Any) -> None:
    """Exchange stamps; the joiner's clock is the class's own."""
    answer = say(socket, kind="clock", sent=0)
    stamps = [answer["received_ns"], answer["received_ns"], answer["replied_ns"], answer["replied_ns"]]
    socket.send(json.dumps({"kind": "stamps", "stamps": stamps}))


def test_what_is_played_elsewhere_sounds_at_that_seat(room: Class) -> None:
    """With the stamp it had there, and its place shows that somebody has joined."""
    seat = Grant(Role.SEAT, "1")
    with Viewing(room.here) as viewing, room.socket("join", room.enter(seat)) as joined:
        assert say(joined, **hello()) == {"kind": "joined", "seat": "1", "next": 0}
        viewing.wait_for(lambda frame: frame["kind"] == "chanter" and frame["chanter"]["state"] == "ready")
        compare(joined)
        at_ns = room.daemon.clock()
        assert say(joined, kind="midi", first=0, messages=[[at_ns, "904540"], [at_ns + 5_000_000, "804500"]]) == {
            "kind": "arrived",
            "next": 2,
        }
        note = viewing.wait_for_kind("note", seat="1")
        assert (note["note"], abs(note["at_ns"] - at_ns) < 1_000_000) == ("low A", True)
    with Viewing(room.here) as viewing:
        viewing.wait_for(
            lambda frame: (
                (frame.get("seat") == "1" and frame["kind"] == "chanter" and frame["chanter"]["state"] == "gone")
                or (frame["kind"] == "hello" and frame["state"]["seats"][0]["chanter"]["state"] == "gone")
            )
        )


def test_a_joiner_that_comes_back_goes_on_at_its_seat(room: Class) -> None:
    """With the message that is wanted next; the older of two links of the same joiner is over."""
    cookie, first = room.enter(Grant(Role.SEAT, "1")), hello()
    with room.socket("join", cookie) as one:
        say(one, **first)
        compare(one)
        say(one, kind="midi", first=0, messages=[[room.daemon.clock(), "904540"]])
        with room.socket("join", cookie) as two:
            assert say(two, **first) == {"kind": "joined", "seat": "1", "next": 1}
            one.send(json.dumps({"kind": "clock", "sent": 0}))
            closed(one)
            assert say(two, kind="clock", sent=7)["sent"] == 7


def test_with_the_desks_code_a_joiner_gets_a_free_place_or_a_new_one(room: Class) -> None:
    """And keeps it when it comes back; the wall and the desk see the name."""
    desk = room.enter(AT_THIS_MACHINE)
    ailsa, cara = hello(name="Ailsa"), hello(name="Cara")
    for first, seat in ((ailsa, "1"), (cara, "3"), (ailsa, "1"), (cara, "3")):
        with room.socket("join", desk) as joined:
            assert say(joined, **first)["seat"] == seat
    names = [seat["name"] for seat in room.ask("GET", "api/state", cookie=desk).json()["seats"]]
    assert names == ["Ailsa", "Bram", "Cara"]


def test_a_seats_code_puts_its_own_chanter_there_and_nowhere_else(room: Class) -> None:
    """In place of what the seat listened to; a name that sits elsewhere is refused in a sentence."""
    cookie = room.enter(Grant(Role.SEAT, "2"))
    with room.socket("join", cookie) as joined:
        assert say(joined, **hello(name="Dougal"))["seat"] == "2"
    [seat] = room.ask("GET", "api/state", cookie=cookie).json()["seats"]
    assert (seat["name"], seat["chanter"]["input"]) == ("Dougal", "my chanter of Dougal")
    with room.socket("join", cookie) as joined:
        joined.send(json.dumps(hello(name="Ailsa")))
        assert closed(joined) == (1008, "Ailsa sits at seat 1 already; give another name.")


@pytest.mark.parametrize(
    "frames",
    [
        ["nonsense"],
        ['{"kind": "stamps", "stamps": [1, 2, 3, 4]}'],
        [b"\x90E@"],
        ['{"kind": "join"}'],
        ['{"kind": "join", "who": "short"}'],
        ["hello", '{"kind": "midi", "first": -1, "messages": []}'],
        ["hello", '{"kind": "midi", "first": 0, "messages": [[0, "9"]]}'],
        ["hello", '{"kind": "midi", "first": 0, "messages": [[0, "zz"]]}'],
        ["hello", '{"kind": "midi", "first": 0, "messages": [[1e300, "90"]]}'],
        ["hello", '{"kind": "stamps", "stamps": [1, 2, 3]}'],
        ["hello", json.dumps({"kind": "midi", "first": 0, "messages": [[0, "f8"]] * 201})],
        ["hello", "x" * 40_000],
        ["hello", "hello"],
        ["hello", *['{"kind": "stamps", "stamps": [1, 2, 3, 4]}'] * 2000],
    ],
    ids=lambda frames: str(frames[-1])[:40],
)
def test_what_is_no_frame_ends_the_link_and_nothing_else(room: Class, frames: list[str | bytes]) -> None:
    """1008, policy violation (RFC 6455 section 7.4.1); the seat is there for the next."""
    cookie, first = room.enter(Grant(Role.SEAT, "1")), hello()
    with room.socket("join", cookie) as joined:
        try:
            for frame in frames:
                joined.send(json.dumps(first) if frame == "hello" else frame)
        except ConnectionClosed:
            pass
        end = closed(joined)
        assert end is not None
        assert end[0] == 1008
    with room.socket("join", cookie) as joined:
        assert say(joined, **hello())["seat"] == "1"


def test_an_input_that_performs_hears_what_is_practised(room: Class) -> None:
    """At once and whenever it changes, if it wants to; others get nothing that they did not ask for."""
    with room.socket("join", room.enter(Grant(Role.SEAT, "1"))) as joined:
        assert say(joined, **hello(cues=True))["kind"] == "joined"
        assert json.loads(joined.recv(timeout=20)) == {"kind": "cue", "cue": None}
        started = ask(room.here, "POST", "api/class", {"drill": "grip from B to C", "click_bpm": 90}).json()
        cue = json.loads(joined.recv(timeout=20))["cue"]
        assert cue["beat0_ns"] == started["grid"]["beat0_ns"]
        assert cue["rep_ns"] == round(2 * 60e9 / 90)
        assert cue["phrases"][0]["notes"] == ["B", "low G", "D", "low G", "C"]
        ask(room.here, "DELETE", "api/class").raise_for_status()
        assert json.loads(joined.recv(timeout=20)) == {"kind": "cue", "cue": None}


def test_a_link_that_only_compares_clocks_takes_no_seat(room: Class) -> None:
    """As many questions as come; anything else ends it."""
    cookie = room.enter(Grant(Role.SEAT, "1"))
    with room.socket("join", cookie) as aside:
        for sent in range(5):
            answer = say(aside, kind="clock", sent=sent)
            assert (answer["kind"], answer["sent"]) == ("clock", sent)
            assert answer["received_ns"] <= answer["replied_ns"]
        assert room.daemon.seat("1").away
        aside.send(json.dumps(hello()))
        assert closed(aside) == (1008, "A link that begins with 'clock' compares clocks only.")
