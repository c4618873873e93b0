"""Past classes over HTTP."""

from pathlib import Path

from chanterd.hearing.simulated import DemoSource
from chanterd.serving.access.address_watch import Network
from chanterd.serving.access.grants import Grant, Role
from tests.serving.routes.test_enter import LAN, Class
from tests.serving.running_daemon import Viewing, ask, served


def test_a_class_is_summed_up_printed_and_deleted(tmp_path: Path) -> None:
    """After it is over; a player who is not kept is not in it; its deletion leaves the players' own runs."""
    with served(tmp_path, [DemoSource(1), DemoSource(2)]) as (page, _), Viewing(page) as viewing:
        assert ask(page, "GET", "api/classes").json() == []
        assert ask(page, "POST", "api/class/keep", {"seat": "2", "keep": False}).json() == ["2"]
        ask(page, "POST", "api/class", {"drill": "grip from B to C", "click_bpm": 300}).raise_for_status()
        viewing.wait_for_kind("band")
        ask(page, "DELETE", "api/class").raise_for_status()
        [listed] = ask(page, "GET", "api/classes").json()
        assert (listed["drill"], listed["click_bpm"], listed["over"]) == ("grip from B to C", 300.0, True)
        path = f"api/classes/{listed['number']}"
        summary = ask(page, "GET", path).json()
        assert [player["name"] for player in summary["players"]] == ["Player 1"]
        assert summary["reps"] >= 1
        pdf = ask(page, "GET", f"{path}/report.pdf?paper=letter")
        assert (pdf.headers["content-type"], pdf.content[:4]) == ("application/pdf", b"%PDF")
        refused = ask(page, "GET", f"{path}/report.pdf?paper=napkin")
        assert (refused.status_code, "napkin" in refused.json()["said"]) == (422, True)
        assert ask(page, "DELETE", path).status_code == 200
        assert "There is no class number" in ask(page, "GET", path).json()["said"]
        player = ask(page, "GET", "api/players").json()[0]["number"]
        assert len(ask(page, "GET", f"api/history/runs?player={player}").json()) == 1


def test_the_wish_of_a_seat_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """In a sentence."""
    with served(tmp_path, [DemoSource(1)]) as (page, _):
        answer = ask(page, "POST", "api/class/keep", {"seat": "7", "keep": True})
        assert (answer.status_code, "it must be '1'" in answer.json()["said"]) == (422, True)


def test_a_learner_says_for_their_own_seat_only_whether_they_are_kept(tmp_path: Path) -> None:
    """Over the network, with the code of the seat; another seat is as shut as everything else."""
    with served(tmp_path, [DemoSource(1), DemoSource(2)], Network([LAN])) as (here, daemon):
        ask(here, "POST", "api/class/keep", {"seat": "1", "keep": False}).raise_for_status()
        room = Class(daemon, here)
        cookie = room.enter(Grant(Role.SEAT, "2"))
        assert room.ask("GET", "api/class/keep", cookie=cookie).json() == {"seat": "2", "keep": True}
        assert room.ask("POST", "api/class/keep", {"seat": "2", "keep": False}, cookie).json() == ["2"]
        assert not daemon.classroom.keeps("2")
        for method, path, body in (
            ("GET", "api/class/keep?seat=1", None),
            ("POST", "api/class/keep", {"seat": "1", "keep": True}),
            ("POST", "api/class/keep", {"seat": "9", "keep": True}),
        ):
            assert room.ask(method, path, body, cookie).status_code == 403
        assert not daemon.classroom.keeps("1")
