"""Choosing, learning and calibrating a chanter over the network."""

from pathlib import Path

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served


def test_a_chanter_is_chosen_learned_and_calibrated(tmp_path: Path) -> None:
    """Each answer shows the seat as it is then; what was begun is gone once it is stopped."""
    with served(tmp_path, [HandSource()]) as (page, _):
        assert "demo" in [one["name"] for one in ask(page, "GET", "api/inputs").json()["inputs"]]
        chosen = ask(page, "POST", "api/chanter", {"profile": "white keys"}).json()
        assert chosen["chanter"]["profile"] == "white keys"
        for what in ("learning", "calibration"):
            assert ask(page, "POST", f"api/{what}", {}).json()[what]["state"] == "running"
            assert ask(page, "DELETE", f"api/{what}").json()[what] is None
        assert ask(page, "POST", "api/input", {"input": "demo"}).json()["chanter"]["input"] == "demo"
