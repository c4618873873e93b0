"""The routes of a class, as another program uses them."""

from pathlib import Path

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import Viewing, ask, served

CLASS = {"drill": "grip from B to C", "click_bpm": 200, "layout": None, "standard": None}


def test_all_seats_start_and_stop_on_one_grid(tmp_path: Path) -> None:
    """The answer has the grid and the exercise, as in a run; the state names the seats in the order of the inputs."""
    with served(tmp_path, [HandSource("one"), HandSource("two")]) as (page, _):
        begun = ask(page, "POST", "api/class", CLASS).json()
        assert set(begun) == {"grid", "asked"}
        assert begun["asked"]["drill"] == "grip from B to C"
        seats = ask(page, "GET", "api/state").json()["seats"]
        assert [(seat["seat"], seat["name"]) for seat in seats] == [("1", "Player 1"), ("2", "Player 2")]
        assert [seat["practice"]["grid"] for seat in seats] == [begun["grid"]] * 2
        assert ask(page, "DELETE", "api/class").json()["state"] == "over"
        assert [seat["practice"] for seat in ask(page, "GET", "api/state").json()["seats"]] == [None, None]


def test_a_seat_is_sent_its_own_frames_only(tmp_path: Path) -> None:
    """No other seat, in the first frame either, and nothing of the band."""
    with served(tmp_path, [HandSource("one"), HandSource("two")]) as (page, daemon):
        with Viewing(page, topic="?seat=2") as mine:
            assert [seat["seat"] for seat in mine.wait_for_kind("hello")["state"]["seats"]] == ["2"]
            ask(page, "POST", "api/class", CLASS).raise_for_status()
            mine.wait_for_kind("grid")
            daemon.hub.renew()
            again = mine.wait_for_kind("resync")
            assert [seat["seat"] for seat in again["state"]["seats"]] == ["2"]
        assert {frame.get("seat", "2") for frame in mine.frames} == {"2"}


def test_what_cannot_be_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """A drill that is none, a wall that is too small, a seat that is not there, a class that is not under way."""
    with served(tmp_path, [HandSource()]) as (page, _):
        for path, body, said in (
            ("api/class", {**CLASS, "drill": "grip from B to E flat"}, "not a note of the chanter"),
            ("api/class", {**CLASS, "seat": "1"}, "'seat' is not known here"),
            ("api/class/freeze", {"frozen": True}, "No class is under way"),
            ("api/class/alone", {"seat": "1"}, "No class is under way"),
            ("api/class", {**CLASS, "ladder": {"top_bpm": 500}}, "top_bpm"),
            ("api/class", {**CLASS, "ladder": {"top_bpm": 220, "share": 0}}, "share"),
            ("api/class", {**CLASS, "ladder": {"top_bpm": 100}}, "below the first tempo, 200"),
            ("api/class/spotlight", {"seat": "9"}, "There is no seat '9'"),
            ("api/class/replay", {"seat": "1"}, "has played no rep yet"),
            ("api/class/replay", {"seat": "1", "factor": 0}, "factor"),
            ("api/class/sound", {"sound": "roof"}, "There is no seat 'roof'"),
            ("api/class/measure", {"seat": "9"}, "There is no seat '9'"),
            ("api/class/place", {"seat": "1", "distance_m": 90}, "distance_m"),
            ("api/wall", {"picture_m": 0}, "picture_m"),
            ("api/wall", {"names": "ranks"}, "names"),
        ):
            answer = ask(page, "POST", path, body)
            assert (answer.status_code, said in answer.json()["said"]) == (422, True), answer.text
        placed = ask(page, "POST", "api/class/place", {"seat": "1", "distance_m": 7.5}).json()
        assert placed["distance_m"] == 7.5
        arranged = ask(page, "POST", "api/wall", {"distance_m": 12}).json()
        assert (arranged["picture_m"], arranged["distance_m"]) == (2.0, 12.0)
