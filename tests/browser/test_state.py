"""How a frame changes what the page knows."""

from typing import Any

import pytest

from tests.browser import scene
from tests.browser.conftest import Inside

DRILL = scene.asked(scene.DRILLS[0])
STAMPS = {"heard_ns": 1, "sent_ns": 2}
COUNTS = {"final": True, "in_a_row": 3, "clean_count": 5, "played_count": 7}


def hello(*players: Any) -> dict[str, Any]:
    """The first frame, with these players."""
    return {"kind": "hello", "clock_ns": 0, "state": scene.state(list(players))}


def running(reps: int = 0) -> Any:
    """A player with a run in progress."""
    return scene.seat(scene.practice(DRILL, [scene.rep(DRILL, 60, index) for index in range(reps)]))


def step(number: int, deviation_ms: float, rep: int = 0, **other: Any) -> dict[str, Any]:
    """A step frame."""
    part = scene.rep(DRILL, 60, rep)["steps"][number]
    read = {**part, "step_kind": part["kind"], "deviation_ms": deviation_ms, "length_ms": None, **other}
    return {**read, "kind": "step", "seat": "one", "rep": rep, "final": False, **STAMPS}


def judged(rep: Any) -> dict[str, Any]:
    """A rep frame."""
    return {**rep, "kind": "rep", "seat": "one", **COUNTS, **STAMPS}


def after(inside: Inside, *frames: dict[str, Any]) -> Any:
    """The state after these frames."""
    body = "(m, frames) => frames.reduce((state, frame) => m.reduce(state, frame), m.nothing())"
    return inside("core/state.js", body, list(frames))


def test_a_correction_replaces_the_step(inside: Inside) -> None:
    """A second reading of the same step of the same rep takes the place of the first."""
    run = after(inside, hello(running()), step(0, 12.0), step(1, 3.0), step(0, -7.0))["seats"]["one"]["run"]
    assert run["readings"]["0"]["0"]["deviation_ms"] == -7.0
    assert run["readings"]["0"]["1"]["deviation_ms"] == 3.0


def test_a_verdict_is_final(inside: Inside) -> None:
    """The rep frame replaces what was read step by step, keeps later reps' readings, and brings the counts."""
    rep = scene.crushed(scene.rep(DRILL, 60, 0), 0)
    run = after(inside, hello(running()), step(0, 12.0), step(0, 4.0, rep=1), judged(rep))["seats"]["one"]["run"]
    assert run["reps"] == [rep]
    assert list(run["readings"]) == ["1"]
    assert (run["in_a_row"], run["clean"], run["played"]) == (3, 5, 7)


def test_a_dozen_reps_are_kept(inside: Inside) -> None:
    """The newest twelve, oldest first; a rep told twice stands once."""
    frames = [judged(scene.rep(DRILL, 60, index)) for index in [*range(15), 14]]
    reps = after(inside, hello(running()), *frames)["seats"]["one"]["run"]["reps"]
    assert [rep["rep"] for rep in reps] == list(range(3, 15))


def test_resync_takes_everything_anew(inside: Inside) -> None:
    """After lost frames the daemon's state stands, and readings that may be stale are gone."""
    resync = {"kind": "resync", "lost": 4, "state": scene.state([running(2)])}
    run = after(inside, hello(running()), step(0, 12.0), resync)["seats"]["one"]["run"]
    assert len(run["reps"]) == 2
    assert run["readings"] == {}


def test_a_run_stays_on_screen(inside: Inside) -> None:
    """After a stop, and after the daemon was started again, the last run is kept and is called ended."""
    stopped = after(inside, hello(running(3)), {"kind": "grid", "seat": "one", "practice": None})
    assert stopped["seats"]["one"]["run"]["ended"] is True
    again = after(inside, hello(running(3)), hello(scene.seat()))
    assert again["seats"]["one"]["run"]["ended"] is True
    assert len(again["seats"]["one"]["run"]["reps"]) == 3


def test_a_page_that_comes_later_shows_the_last_run(inside: Inside) -> None:
    """What the daemon tells of a run that is over is on screen, and its drill is the one to be played again."""
    drill = scene.asked(scene.DRILLS[1])
    over = {**scene.seat(), "ended": {"practice": scene.practice(drill, []), "continuation": None, "remarks": None}}
    player = after(inside, hello(over))["seats"]["one"]
    assert (player["run"]["ended"], player["run"]["drill"]) == (True, player["wanted"]["drill"])
    assert player["wanted"]["drill"] == drill["drill"]
    picked = "(m, frame, again) => m.reduce(m.pick(m.reduce(m.nothing(), frame), 'one', 3), again).seats.one.run.picked"
    assert inside("core/state.js", picked, hello(over), hello(over)) == 3


def test_players_do_not_mix(inside: Inside) -> None:
    """A frame about one player leaves the other as it was."""
    other = {**running(), "seat": "two"}
    players = after(inside, hello(running(), other), step(0, 12.0))["seats"]
    assert players["one"]["run"]["readings"] != {}
    assert players["two"]["run"]["readings"] == {}


@pytest.mark.parametrize(
    ("frame", "said"),
    [
        ({"kind": "confetti"}, "A frame of kind 'confetti' is not known"),
        ({"kind": "toString"}, "A frame of kind 'toString' is not known"),
        ({**step(0, 1.0), "seat": "nobody"}, "A frame is about 'nobody'"),
    ],
)
def test_what_is_not_understood_throws(inside: Inside, frame: dict[str, Any], said: str) -> None:
    """An unknown kind, an unknown seat: an error that names it, never silence."""
    body = """(m, first, frame) => {
      const state = m.reduce(m.nothing(), first);
      try { m.reduce(state, frame); } catch (error) { return error.message; }
      return null;
    }"""
    assert said in inside("core/state.js", body, hello(running()), frame)


def test_the_newest_ornament_is_shown(inside: Inside) -> None:
    """The note before the next ornament does not wipe the last one away; its first step does, but at the end."""
    body = """async (m, frames) => {
      const state = frames.reduce((before, frame) => m.reduce(before, frame), m.nothing());
      const reading = await import("/practise/reading.js");
      return reading.repToShow(state.seats.one.run);
    }"""
    lead = {**step(0, 5.0, rep=1), "step": -1, "step_kind": "lead"}
    first = [hello(running()), judged(scene.rep(DRILL, 60, 0)), lead]
    assert inside("core/state.js", body, first) == 0
    begun = [*first, step(0, 5.0, rep=1)]
    assert inside("core/state.js", body, begun) == 1
    over = {"kind": "grid", "seat": "one", "practice": None}
    assert inside("core/state.js", body, [*begun, over]) == 0


def test_a_bar_grows_until_the_next_note(inside: Inside) -> None:
    """A step without a length ends now; once the next note is heard it ends there."""
    body = """async (m, frames, now) => {
      const state = frames.reduce((before, frame) => m.reduce(before, frame), m.nothing());
      const reading = await import("/practise/reading.js");
      return reading.readingOf(state.seats.one.run, 0, now).steps[0];
    }"""
    heard = {"kind": "note", "seat": "one", "note": "low G", "at_ns": 1, "onset_ms": 850.0}
    frames = [hello(running()), step(0, 8.0, onset_ms=850.0), heard]
    growing = inside("core/state.js", body, frames, 890.0)
    assert (growing["growing"], growing["onset"], growing["end"]) == (True, -150.0, -110.0)
    ended = inside("core/state.js", body, [*frames, {**heard, "note": "D", "onset_ms": 905.0}], 990.0)
    assert (ended["growing"], ended["end"]) == (False, -95.0)
