"""What is told on demand about a rep, and what a teacher would write under a run that is over."""

import pytest
from playwright.sync_api import expect

from chanterd.judging.teacher import Next, Remarks
from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn
from tests.browser.test_page import bottom, overflow

DRILL = scene.asked(scene.DRILLS[0])
NEXT: Next = {"said": "Next: grip from B to C, stage 1.", "drill": "grip from B to C, stage 1", "click_bpm": 56.0}
REMARKS: Remarks = {
    "steady": ["Your beat is steady, give or take 8 ms."],
    "unsteady": ["You crushed a step in 4 of 12 reps."],
    "open": [],
    "next": NEXT,
}
MANY: Remarks = {
    "steady": [
        "Your beat is steady, give or take 9 ms.",
        "You are usually 14 ms late: a habit, not a slip.",
        "Your held notes are the same each time: about 46 ms, give or take 6.",
    ],
    "unsteady": [
        "You crushed a step in 4 of 35 reps.",
        "You left out a step in 3 of 35 reps.",
        "You were late in 2 of 35 reps.",
        "Your gracenotes and taps change from rep to rep: about 28 ms, give or take 15.",
    ],
    "open": [],
    "next": {**NEXT, "said": "Next: grip from B to C, stage 1, at 120. When three in a row are clean, come back."},
}
ENDED = {"kind": "grid", "seat": "one", "practice": None, "remarks": REMARKS}


@pytest.mark.parametrize(
    ("off_ms", "said"),
    [
        (0.0, "840 ms, its full time"),
        (20.0, "840 ms, its full time"),
        (22.0, "840 ms, 22 ms too long"),
        (-90.0, "840 ms, 90 ms too short"),
    ],
)
def test_a_note_that_cannot_be_heard_to_be_off_kept_its_time(inside: Inside, off_ms: float, said: str) -> None:
    """At 840 ms a shift is heard from 21 ms (Friberg and Sundberg 1995: 2.5 %)."""
    kept = {"length_ms": 840.0, "asked_ms": 840.0, "off_ms": off_ms}
    assert inside("practise/summary_words.js", "(m, kept) => m.keptWords(kept)", kept) == said


def test_what_is_not_known_is_left_out(inside: Inside) -> None:
    """No row for a note after that is not over yet, nor for a kind of step that was not played."""
    rep = scene.rep(DRILL, 60, 0)
    rep["around"]["theme"]["off_ms"] = None
    rep["shape"]["quick"] = {"steps": [], "lengths_ms": [], "longest_over_shortest": None, "spread_ms": None}
    names = [name for name, _ in inside("practise/summary_words.js", "(m, rep) => m.rows(rep)", rep)]
    assert names == ["beat", "held notes", f"{rep['lead']['note']} before"]


def test_the_details_of_a_rep_are_a_key_away(stand_in: StandIn, open_page: Open) -> None:
    """Closed at first; opened from the keyboard they say each fault, what to do, and offer a drill that helps."""
    rep = scene.crushed(scene.rep(DRILL, 60, 0), 0)
    stand_in.one["practice"] = scene.practice(DRILL, [rep])
    page = open_page()
    expect(page.locator("#rep-detail")).to_be_hidden()
    page.locator("#rep-details").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#rep-detail h2")).to_have_text("Crushed")
    expect(page.locator("#rep-detail li p")).to_contain_text("Build it up, slowly.")
    expect(page.locator("#rep-detail button")).to_have_text("Practise grip from B to C, stage 1")
    expect(page.locator("#run-summary")).to_be_hidden()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080)])
def test_all_of_it_is_one_screen(stand_in: StandIn, open_page: Open, width: int, height: int) -> None:
    """Strip, verdict, remarks and figures of a run that ended; nothing of the strip is cut off."""
    rep = scene.faulty(scene.with_extras(scene.rep(DRILL, 60, 0)), scene.fault("crossing noise", 0, "A" * 40))
    stand_in.one["practice"] = scene.practice(DRILL, [rep])
    page = open_page(width, height)
    stand_in.send({**ENDED, "remarks": MANY})
    expect(page.locator("#run-summary")).to_be_visible()
    expect(page.locator("#strip .extra-word")).to_have_count(4)
    assert overflow(page) == (0, 0)
    low = page.evaluate(
        "Math.max(...[...document.querySelectorAll('#strip text')].map((it) => it.getBoundingClientRect().bottom))"
    )
    assert low <= bottom(page, "#strip") + 1


def test_under_a_run_that_ended_stands_what_to_do_next(stand_in: StandIn, open_page: Open) -> None:
    """What is steady, what is not; nothing of what there is none of; one press takes the next drill and its tempo."""
    stand_in.one["practice"] = scene.practice(DRILL, scene.dozen(DRILL, 60))
    page = open_page()
    expect(page.locator("#run-summary")).to_be_hidden()
    stand_in.send(ENDED)
    page.locator("#run-summary summary").click()
    expect(page.locator("#run-summary dt")).to_have_text(["Not steady", "Steady"])
    expect(page.locator("#run-summary dd").last).to_have_text("Your beat is steady, give or take 8 ms.")
    page.get_by_role("button", name="Practise this next").press("Enter")
    expect(page.locator("#drill")).to_have_value("grip from B to C, stage 1")
    expect(page.locator("#tempo")).to_have_value("56")
    expect(page.locator("#toggle")).to_be_focused()
    expect(page.locator("#run-summary")).to_be_hidden()
