"""Reps that ask for different drills in turn: the page shows each rep's own notes, and what comes next."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn

GRIP, DOUBLING = scene.asked(scene.DRILLS[0]), scene.asked(scene.DRILLS[1])


def walking(reps: list[Any]) -> Any:
    """A run that asks a grip and a doubling in turn."""
    left_out = "Left out, since it is not played there: from C to D."
    return {**scene.practice(GRIP, reps), "sequence": [GRIP, DOUBLING], "left_out": left_out}


@pytest.mark.parametrize(
    ("beat", "rep"), [(-4.0, 0), (-0.1, 0), (0.0, 0), (1.9, 0), (2.0, 1), (3.99, 1), (4.0, 2), (41.0, 20)]
)
def test_a_rep_is_to_be_played_from_its_first_note_on(inside: Inside, beat: float, rep: int) -> None:
    """Two clicks a rep, the count-in belongs to the first."""
    assert inside("practise/reading.js", "(m, run, beat) => m.repToPlay(run, beat)", walking([]), beat) == rep


def test_when_it_is_over_the_last_rep_stays(inside: Inside) -> None:
    """Without a beat the rep that was judged last is shown, and it is asked by its own turn."""
    run = {**walking([scene.rep(GRIP, 60, 0), scene.rep(DOUBLING, 60, 1)]), "readings": {}}
    assert inside("practise/reading.js", "(m, run) => m.repToPlay(run, NaN)", run) == 1
    assert inside("practise/sequence.js", "(m, run) => m.askedOf(run, 1).drill", run) == DOUBLING["drill"]
    assert inside("practise/sequence.js", "(m, run) => m.askedOf(run, 2).drill", run) == GRIP["drill"]


def test_the_window_of_time_holds_every_turn(inside: Inside) -> None:
    """It is the same for all reps, so that a habit shows, and no step lies outside."""
    window = inside("practise/sequence.js", "(m, sequence) => m.windowOf(sequence)", [GRIP, DOUBLING])
    offsets = [step["offset_ms"] for asked in (GRIP, DOUBLING) for step in asked["steps"]]
    assert window["from"] < min(offsets)
    assert window["to"] > max(offsets)


def test_each_rep_is_drawn_by_its_own_notes_and_the_next_is_named(stand_in: StandIn, open_page: Open) -> None:
    """After a grip and a doubling the strip has the doubling's slots; the line below says that a grip is next."""
    stand_in.one["practice"] = walking([scene.rep(GRIP, 60, 0), scene.rep(DOUBLING, 60, 1)])
    page = open_page()
    stand_in.send({"kind": "grid", "seat": "one", "practice": None})
    expect(page.locator("#ornament")).to_have_text("Doubling")
    expect(page.locator("#ahead")).to_have_text("Next: from B to C")
    names = page.locator("#marks text.slot-name")
    expect(names.filter(has_text="high G")).to_have_count(1)
    expect(names.filter(has_text="low G")).to_have_count(0)


def test_what_the_way_leaves_out_is_said_before_the_first_verdict(stand_in: StandIn, open_page: Open) -> None:
    """Where later the verdict's second line stands; a plain drill says nothing there."""
    stand_in.one["practice"] = walking([])
    expect(open_page().locator("#more")).to_have_text("Left out, since it is not played there: from C to D.")


def test_a_plain_drill_names_no_next_one(stand_in: StandIn, open_page: Open) -> None:
    """Every rep asks the same."""
    stand_in.one["practice"] = scene.practice(GRIP, [scene.rep(GRIP, 60, 0)])
    page = open_page()
    expect(page.locator("#ornament")).to_have_text("Grip")
    expect(page.locator("#ahead")).to_be_hidden()
