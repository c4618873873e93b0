"""What the teacher's desk is sent."""

from pathlib import Path

from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import Viewing, ask, served


def test_the_desk_is_sent_the_class_and_no_notes(tmp_path: Path) -> None:
    """What is called, who plays, where it clicks; the wall's summary; no step, no note, no run of a player."""
    with (
        served(tmp_path, [HandSource("one"), HandSource("two")]) as (page, _),
        Viewing(page, topic="?desk") as desk,
    ):
        state = desk.wait_for_kind("hello")["state"]
        assert [seat["seat"] for seat in state["seats"]] == ["1", "2"]
        desk.wait_for_kind("wall")
        body = {"drill": "grip from B to C", "click_bpm": 200, "ladder": {"top_bpm": 220, "share": 0.5}}
        begun = ask(page, "POST", "api/class", body).json()
        shown = desk.wait_for(lambda frame: frame["kind"] == "class" and frame["now"]["state"] == "playing")["now"]
        assert (shown["drill"], shown["playing"], shown["sound"]) == ("grip from B to C", ["1", "2"], "desk")
        assert shown["click"] == {"grid": begun["grid"], "last": None}
        assert shown["ladder"]["said"] == "0 of 2 have 3 clean in a row. With 1 it goes up to 204."
        assert ask(page, "GET", "api/class").json() == shown
        ask(page, "DELETE", "api/class").raise_for_status()
        over = desk.wait_for(lambda frame: frame["kind"] == "class" and frame["now"]["state"] == "over")["now"]
        assert (over["drill"], over["click"], over["playing"]) == ("grip from B to C", None, [])
        assert not {"grid", "note", "step", "rep"} & {frame["kind"] for frame in desk.frames}
