"""Routes about the players, through a real server."""

from pathlib import Path

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import Viewing, ask, served


def test_a_player_is_added_sits_down_is_renamed_and_is_deleted(tmp_path: Path) -> None:
    """Each step reaches the pages; whoever sits at the seat of one who is deleted is somebody new."""
    with served(tmp_path, [HandSource()]) as (page, _), Viewing(page) as viewing:
        hello = viewing.wait_for_kind("hello")
        assert hello["state"]["seats"][0]["player"] == {"number": 1, "name": "Player 1"}
        added = ask(page, "POST", "api/players", {"name": "Ailsa"}).json()
        assert added == {"number": 2, "name": "Ailsa"}
        seated = ask(page, "POST", "api/seat", {"player": 2}).json()
        assert (seated["seat"], seated["player"]["name"]) == ("1", "Ailsa")
        viewing.wait_for(lambda frame: frame["kind"] == "resync" and person(frame) == "Ailsa")
        assert ask(page, "POST", "api/players/2", {"name": "Isla"}).json()["name"] == "Isla"
        viewing.wait_for(lambda frame: frame["kind"] == "resync" and person(frame) == "Isla")
        assert [one["name"] for one in ask(page, "GET", "api/players").json()] == ["Isla", "Player 1"]
        assert ask(page, "DELETE", "api/players/2").status_code == 200
        viewing.wait_for(lambda frame: frame["kind"] == "resync" and person(frame) == "Player 1")
        assert [one["name"] for one in ask(page, "GET", "api/players").json()] == ["Player 1"]


def person(frame: dict[str, object]) -> object:
    """Who sits at the first seat."""
    state = frame["state"]
    assert isinstance(state, dict)
    return state["seats"][0]["player"]["name"]


def test_what_cannot_be_done_is_refused_in_a_sentence(tmp_path: Path) -> None:
    """In a sentence, and nothing changes."""
    with served(tmp_path, [HandSource()]) as (page, daemon):
        for method, path, body, said in [
            ("POST", "api/players", {"name": ""}, "it must have 1 to 40 letters"),
            ("POST", "api/players", {"name": "player 1"}, "already"),
            ("POST", "api/players/9", {"name": "Isla"}, "There is no player number 9"),
            ("POST", "api/seat", {"player": 9}, "There is no player number 9"),
            ("POST", "api/seat", {"player": 10**20}, "it must be 9223372036854775807 at most"),
            ("DELETE", f"api/players/{10**20}", None, "it must be 9223372036854775807 at most"),
            ("DELETE", "api/players/9", None, "There is no player number 9"),
            ("POST", "api/players", {"nam": "Isla"}, "'nam' is not known here. Did you mean 'name'?"),
        ]:
            answer = ask(page, method, path, body)
            assert answer.status_code == 422
            assert said in answer.json()["said"]
        assert daemon.seats["1"].player.name == "Player 1"
