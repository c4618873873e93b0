"""``chanterd demo``: a whole class in one command."""

import json
from pathlib import Path

from tests.serving.running_daemon import Program, Viewing, ask


def test_a_class_plays_and_its_wall_fills_without_a_chanter(tmp_path: Path) -> None:
    """Three simulated players on one click; the wall is there at its address, and names them."""
    words = ["--seats", "3", "--click", "200", "--port", "0", "--data", str(tmp_path)]
    with Program(words, command="demo") as daemon, Viewing(f"{daemon.page}", json.loads, topic="?wall") as wall:
        full = wall.wait_for(
            lambda frame: (
                frame["kind"] == "wall" and frame["band"] is not None and all(s["word"] for s in frame["seats"])
            )
        )
        assert [seat["name"] for seat in full["seats"]] == ["Isla", "Tomas", "Ewan"]
        assert {frame["kind"] for frame in wall.frames} <= {"hello", "wall"}
        page = ask(daemon.page, "GET", "wall/")
        assert (page.status_code, "Class wall" in page.text) == (200, True)
