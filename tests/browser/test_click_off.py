"""The click off: it stops with the count-in, nothing on the page beats in its place, and the tempo kept is told."""

import time

from playwright.sync_api import expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.placed_reps import segments
from tests.browser.stand_in import StandIn

KEPT = {
    "intervals": 40,
    "asked_bpm": 60.0,
    "kept_bpm": 61.9,
    "drift_percent": 0.2,
    "timer_ms": 15.0,
    "hand_ms": 8.0,
    "sure": False,
    "said": ["You kept 61.9 clicks a minute, 3.2 % faster than the 60 asked.", "The tempo held.", "Few reps."],
}


def test_only_the_count_in_is_clicked(inside: Inside) -> None:
    """Four clicks before beat 0, and none from there on."""
    body = "(m, grid) => m.clicksBetween(grid, -5e9, 9e9).map((click) => click.beat)"
    assert inside("core/grid.js", body, {**scene.grid(), "click_off": True}) == [-4, -3, -2, -1]
    assert len(inside("core/grid.js", body, scene.grid())) > 10


def test_a_rep_lies_where_the_players_own_pulse_has_it(inside: Inside) -> None:
    """The grid has rep 20's beat at 41 s; expected was 41.8 s, so a step at that time is on the beat."""
    asked = scene.asked(scene.DRILLS[0])
    rep = scene.rep(asked, 60, 20, noise_ms=0.0)
    for step in rep["steps"]:
        step["expected_ms"] += 800.0
        assert step["onset_ms"] is not None
        step["onset_ms"] += 800.0
    run = {"segments": segments(), "sequence": [asked], "reps": [rep], "readings": {}, "heard": []}
    assert inside("practise/reading.js", "(m, run) => m.beat_ms(run, 20)", run) == 41_800
    # While it is being played, with the lead told as step -1.
    live = {"-1": {**rep["lead"], "step": -1, "rep": 20}, "0": rep["steps"][0], "1": rep["steps"][1]}
    assert (
        inside("practise/reading.js", "(m, run) => m.beat_ms(run, 20)", {**run, "reps": [], "readings": {20: live}})
        == 41_800
    )
    unheard = {**run, "reps": [], "readings": {}}
    assert inside("practise/reading.js", "(m, run) => m.beat_ms(run, 20)", unheard) == 41_000


def test_nothing_beats_in_place_of_the_click(stand_in: StandIn, open_page: Open) -> None:
    """After the count-in the walking dot is gone, and no rep is counted by the grid."""
    asked = scene.asked(scene.DRILLS[0])
    running = scene.practice(asked, [], beat0_ns=time.perf_counter_ns() - 5_000_000_000)
    running["grid"]["click_off"] = True
    stand_in.one["practice"] = running
    page = open_page()
    expect(page.locator("#where")).to_have_text("The click is off: keep the beat")
    expect(page.locator("#beat-dot *")).to_have_count(0)


def test_how_the_tempo_was_kept_is_told_at_the_end(stand_in: StandIn, open_page: Open) -> None:
    """The first sentence large, the others below it."""
    asked = scene.asked(scene.DRILLS[0])
    running = scene.practice(asked, [scene.rep(asked, 60, 0)])
    running["grid"]["click_off"] = True
    stand_in.one["practice"] = running
    page = open_page()
    stand_in.send({"kind": "grid", "seat": "one", "practice": None, "continuation": KEPT})
    expect(page.locator("#verdict")).to_have_text("You kept 61.9 clicks a minute, 3.2 % faster than the 60 asked.")
    expect(page.locator("#more")).to_have_text("The tempo held. Few reps.")


def test_that_the_beat_cannot_be_followed_stands_in_place_of_a_verdict(stand_in: StandIn, open_page: Open) -> None:
    """Until it can be again."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = scene.practice(asked, [scene.rep(asked, 60, 0)])
    page = open_page()
    expect(page.locator("#verdict")).not_to_be_empty()
    verdict = page.locator("#verdict").inner_text()
    stand_in.send({"kind": "doubt", "seat": "one", "doubt": "Your beat cannot be followed just now."})
    expect(page.locator("#verdict")).to_have_text("Your beat cannot be followed just now.")
    stand_in.send({"kind": "doubt", "seat": "one", "doubt": ""})
    expect(page.locator("#verdict")).to_have_text(verdict)


def test_it_is_a_setting(stand_in: StandIn, open_page: Open) -> None:
    """Asked for by the keyboard, it goes with the next start; left alone, nothing is sent of it."""
    page = open_page()
    page.locator("#settings-now").press("Enter")
    page.locator("#click-off").press(" ")
    page.keyboard.press("Escape")
    with page.expect_response("**/api/practice"):
        page.locator("#toggle").click()
    assert stand_in.asked[-1][2]["click_off"] is True
