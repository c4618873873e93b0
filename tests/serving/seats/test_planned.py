"""A plan gone through on a seat: what is started when, what the pages are told, and when it waits."""

from pathlib import Path
from typing import Any

import pytest

from chanterd.config import ChanterdError
from chanterd.music.drill import drill_from_words
from chanterd.music.units import NS_PER_MINUTE
from chanterd.practice.plans.plan import read_plan
from chanterd.practice.plans.session import READY_NS
from chanterd.serving.seats.planned import Planned
from tests.serving.played_seat import Sitting, rep_line

RULE = "first_bpm = 60, raise_bpm = 5, in_a_row = 1, top_bpm = 65, tries = 1, performing_bpm = 65"
TEXT = f"""
name = "Ours"
said = "A plan."
[breaks]
after_minutes = 5
[[part]]
warm_up = true
title = "Warm-up"
drill = "grip from B to C"
click_bpm = 60
minutes = 6
[[part]]
drill = "birl from E"
click_bpm = 90
reps = 2
[[part]]
drill = "grip from B to C"
ladder = {{ {RULE} }}
"""


def begin(sitting: Sitting, folder: Path) -> Planned:
    """Begin to go through the plan."""
    tables = sitting.daemon.tables
    path = folder / "ours.toml"
    path.write_text(TEXT)
    return sitting.daemon.begin_plan(None, read_plan(path, tables))


def test_a_plan_has_the_beat_where_its_player_puts_it(tmp_path: Path) -> None:
    """The plan names the drill, not the place."""
    with Sitting(tmp_path) as sitting:
        sitting.daemon.choose_placement(sitting.seat, drill_from_words("birl from B, beat on low A"))
        planned = begin(sitting, tmp_path)
        ready(sitting)
        planned.skip()
        ready(sitting)
        assert drill(sitting) == ("birl from E, beat on low A", 90.0)


def wait(sitting: Sitting, minutes: float) -> None:
    """Turn the clock on by that many minutes, in large steps."""
    until_ns = sitting.now_ns + round(minutes * NS_PER_MINUTE)
    while sitting.now_ns < until_ns:
        sitting.now_ns = min(sitting.now_ns + NS_PER_MINUTE // 60, until_ns)
        sitting.daemon.tick()


def ready(sitting: Sitting) -> None:
    """Let the announcement pass."""
    wait(sitting, READY_NS / NS_PER_MINUTE + 0.01)


def play(sitting: Sitting, rep: int) -> None:
    """Play a rep of what is cued, and let it be judged."""
    cue = sitting.cue()
    sitting.play(rep_line(cue, rep))
    sitting.until(cue.beat0_ns + round((rep + 1.3) * cue.rep_ns))


def drill(sitting: Sitting) -> tuple[str, float] | None:
    """What is practised now, and how fast."""
    practice = sitting.daemon.state()["seats"][0]["practice"]
    return None if practice is None else (practice["asked"]["drill"], practice["grid"]["click_bpm"])


def tune_run(sitting: Sitting) -> Any:
    """The run through a tune, as a page opened now shows it."""
    return sitting.daemon.state()["seats"][0]["tune_run"]


def shown(sitting: Sitting) -> Any:
    """The state of the plan, as a page opened now shows it."""
    return sitting.daemon.state()["seats"][0]["session"]


def test_it_goes_through_every_part_and_ends_by_itself(sitting: Sitting, tmp_path: Path) -> None:
    """Announced, six minutes, a break, two reps, a ladder of two notches: done, and nothing is played any more."""
    begin(sitting, tmp_path)
    assert drill(sitting) is None
    assert shown(sitting)["said"] == "First, 1 of 3. Warm-up: grip from B to C, 6 minutes at 60."
    ready(sitting)
    assert drill(sitting) == ("grip from B to C", 60.0)
    wait(sitting, 6)
    assert (shown(sitting)["state"], drill(sitting)) == ("break", None)
    wait(sitting, 5)
    ready(sitting)
    assert drill(sitting) == ("birl from E", 90.0)
    for rep in range(2):
        play(sitting, rep)
    assert (shown(sitting)["state"], shown(sitting)["part"], drill(sitting)) == ("between", 2, None)
    assert shown(sitting)["news"] == "birl from E: 2 of 2 reps clean."
    ready(sitting)
    play(sitting, 0)
    assert drill(sitting) == ("grip from B to C", 65.0)
    assert shown(sitting)["news"] == "1 clean rep. Up to 65."
    play(sitting, 0)
    sitting.until(sitting.now_ns + 100_000_000)
    reported = sitting.of("session")[-1]["session"]
    assert reported["news"] == "Proved: 1 clean rep at 65, the performing tempo."
    assert (reported["state"], reported["said"]) == ("done", "'Ours' is done. Rest your hands and your ears.")
    assert (shown(sitting), drill(sitting)) == (None, None)


def test_the_time_left_is_shown_each_second(sitting: Sitting, tmp_path: Path) -> None:
    """Whole seconds, down to the end; and no more frames than that."""
    begin(sitting, tmp_path)
    ready(sitting)
    before = len(sitting.of("session"))
    sitting.until(sitting.now_ns + 5_000_000_000)
    reported = [one["session"]["left_s"] for one in sitting.of("session")[before:]]
    assert reported == list(range(reported[0], reported[0] - 5, -1))


def test_a_pause_keeps_what_was_played(sitting: Sitting, tmp_path: Path) -> None:
    """One rep of two, paused, and on again: one more is enough."""
    planned = begin(sitting, tmp_path)
    planned.skip()
    ready(sitting)
    play(sitting, 0)
    planned.pause()
    assert (drill(sitting), shown(sitting)["reps"]) == (None, 1)
    wait(sitting, 3)
    assert shown(sitting)["said"] == "Paused in part 2 of 3. Go on when you are ready."
    planned.go_on()
    play(sitting, 0)
    assert (shown(sitting)["part"], shown(sitting)["news"]) == (2, "birl from E: 2 of 2 reps clean.")


def test_it_waits_when_the_player_stops_the_run(sitting: Sitting, tmp_path: Path) -> None:
    """The stop button is taken at its word: the plan pauses and does not start the run again by itself."""
    begin(sitting, tmp_path)
    ready(sitting)
    sitting.seat.end()
    wait(sitting, 1)
    assert (shown(sitting)["paused"], drill(sitting)) == (True, None)


def test_it_waits_when_something_else_is_practised(sitting: Sitting, tmp_path: Path) -> None:
    """What the player has started goes on, and the plan's end does not end it."""
    planned = begin(sitting, tmp_path)
    ready(sitting)
    sitting.practise("throw on D from low A", 70.0)
    wait(sitting, 0.1)
    assert shown(sitting)["paused"]
    planned.stop()
    assert drill(sitting) == ("throw on D from low A", 70.0)


def test_skipping_every_part_ends_it(sitting: Sitting, tmp_path: Path) -> None:
    """Part after part is left out, and its run with it."""
    planned = begin(sitting, tmp_path)
    ready(sitting)
    for _ in range(3):
        planned.skip()
    assert (planned.over, drill(sitting)) == (True, None)
    with pytest.raises(ChanterdError, match="No plan is running"):
        sitting.daemon.planned(None)


def test_another_plan_takes_its_place(sitting: Sitting, tmp_path: Path) -> None:
    """The old one is shown as stopped, then the new one is announced."""
    begin(sitting, tmp_path)
    ready(sitting)
    begin(sitting, tmp_path)
    assert [one["session"]["state"] for one in sitting.of("session")[-2:]] == ["stopped", "between"]


def test_what_is_done_between_two_parts_is_not_torn_away(sitting: Sitting, tmp_path: Path) -> None:
    """A calibration in the break goes on when the break is over; the plan waits for the word to go on."""
    planned = begin(sitting, tmp_path)
    ready(sitting)
    wait(sitting, 6)
    wait(sitting, 4.95)
    sitting.seat.calibrate()
    wait(sitting, 0.2)
    assert (shown(sitting)["state"], shown(sitting)["paused"], drill(sitting)) == ("between", True, None)
    assert sitting.seat.shown()["calibration"]["state"] == "running"  # type: ignore[index]
    planned.go_on()
    ready(sitting)
    assert drill(sitting) == ("birl from E", 90.0)


def test_going_on_while_it_goes_on_changes_nothing(sitting: Sitting, tmp_path: Path) -> None:
    """A second press of the button does not restart the run."""
    planned = begin(sitting, tmp_path)
    ready(sitting)
    play(sitting, 0)
    planned.go_on()
    assert sitting.daemon.state()["seats"][0]["practice"]["played"] == 1  # type: ignore[index]


def test_a_plan_ends_when_somebody_else_sits_down(sitting: Sitting, tmp_path: Path) -> None:
    """What is left of it is not played under the other's name."""
    begin(sitting, tmp_path)
    ailsa = sitting.run(sitting.daemon.roster.create("Ailsa"))
    sitting.run(sitting.daemon.roster.choose(sitting.seat, ailsa.number))
    ready(sitting)
    assert (shown(sitting), drill(sitting)) == (None, None)
    assert sitting.of("session")[-1]["session"]["state"] == "stopped"


PASSAGES = """
name = "Ours"
said = "A plan."
[[part]]
warm_up = true
tune = "seven-gulls"
ornament = 10
click_bpm = 120
reps = 2
[[part]]
tune = "seven-gulls"
ornament = 10
click_bpm = 120
widen = { in_a_row = 1, to = "bar", tries = 1 }
[[part]]
drill = "birl from E"
click_bpm = 90
reps = 2
"""


def test_passages_of_a_tune_are_gone_through_like_drills(sitting: Sitting, tmp_path: Path) -> None:
    """Two rounds and on; a widening ladder ends by itself and leads on; then a drill."""
    path = tmp_path / "ours.toml"
    path.write_text(PASSAGES)
    sitting.daemon.begin_plan(None, read_plan(path, sitting.daemon.tables))
    assert shown(sitting)["said"].startswith("First, 1 of 3. Seven Gulls, the ornament in bar 3 by itself, 2 rounds")
    ready(sitting)
    run = tune_run(sitting)
    assert (run["tune"], run["ornament"], run["going"]) == ("seven-gulls", 10, True)
    sitting.perform(5)
    assert shown(sitting)["part"] == 1
    assert shown(sitting)["news"].startswith("Seven Gulls, the ornament in bar 3 by itself: ")
    assert shown(sitting)["news"].endswith("rounds clean.")
    ready(sitting)
    assert tune_run(sitting)["ladder"]["climbs"] == "width"
    sitting.perform(60)
    assert shown(sitting)["part"] == 2
    wait(sitting, 0.2)
    assert drill(sitting) == ("birl from E", 90.0)
    assert not tune_run(sitting)


def test_a_passage_that_is_stopped_pauses_the_plan(sitting: Sitting, tmp_path: Path) -> None:
    """As a drill does; going on starts it again."""
    path = tmp_path / "ours.toml"
    path.write_text(PASSAGES)
    planned = sitting.daemon.begin_plan(None, read_plan(path, sitting.daemon.tables))
    ready(sitting)
    sitting.seat.stop_practice()
    wait(sitting, 0.01)
    assert shown(sitting)["paused"]
    planned.go_on()
    assert tune_run(sitting)["going"]
