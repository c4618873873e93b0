"""Past classes over HTTP."""

from pathlib import Path

from chanterd.hearing.simulated import DemoSource
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
        assert (answer.status_code, "There is no seat '7'" in answer.json()["said"]) == (422, True)
