"""Feedback on the page: what is kept back is nowhere to be seen, and comes when the daemon says so."""

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from chanterd.practice.feedback.feedback import FeedbackShown
from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn

COUNTS = {"final": True, "in_a_row": 4, "clean_count": 4, "played_count": 4, "heard_ns": 1, "sent_ns": 1}
KEPT: FeedbackShown = {
    **scene.FEEDBACK,
    "schedule": "after five",
    "live": False,
    "clean": 2,
    "played": 3,
    "in_a_row": 1,
}


def feedback(**changed: Any) -> dict[str, Any]:
    """A feedback frame."""
    return {"kind": "feedback", "seat": "one", "feedback": {**KEPT, **changed}}


@pytest.fixture
def kept_back(stand_in: StandIn, open_page: Open) -> Page:
    """A run of three told reps; the fourth, crushed and 77 ms late, has been judged and is kept back."""
    asked = scene.asked(scene.DRILLS[0])
    running = scene.practice(asked, [scene.rep(asked, 60, index) for index in range(3)])
    running["feedback"] = KEPT
    stand_in.one["practice"] = running
    page = open_page()
    late = scene.crushed(scene.rep(asked, 60, 3, late_ms=77.0, noise_ms=0.0), 0)
    for step in late["steps"]:
        frame = {**step, "kind": "step", "step_kind": step["kind"], "seat": "one", "rep": 3, "final": True}
        stand_in.send({**frame, "heard_ns": 1, "sent_ns": 1})
    stand_in.send(feedback(withheld=[3], said="Kept back.", more="1 of 5 played; then they are told together."))
    stand_in.send({**late, "kind": "rep", "seat": "one", **COUNTS})
    expect(page.locator("#verdict")).to_have_text("Kept back.")
    return page


def test_what_is_kept_back_is_nowhere_on_the_page(kept_back: Page) -> None:
    """Not in the strip, the verdict, the figures, the staff, the habit, nor in what is read aloud."""
    page = kept_back
    expect(page.locator("#more")).to_have_text("1 of 5 played; then they are told together.")
    expect(page.locator("#strip .bar")).to_have_count(0)
    expect(page.locator("#strip")).to_have_attribute("aria-label", "Nothing played yet.")
    expect(page.locator("#habit .rep")).to_have_count(3)
    expect(page.locator("#clean")).to_have_text("2 of 3")
    expect(page.locator("#in-a-row")).to_have_text("1")
    words = re.sub(r"Rep \d+", "", page.locator("body").inner_text())  # the clock counts the reps on, to any number
    assert "crushed" not in words
    assert "77" not in words


def test_it_is_shown_once_it_is_told(stand_in: StandIn, kept_back: Page) -> None:
    """Then strip, habit and counts have it, under the sentence that the daemon says."""
    stand_in.send(feedback(said="3 of 4 clean.", more="", clean=3, played=4, in_a_row=0))
    expect(kept_back.locator("#verdict")).to_have_text("3 of 4 clean.")
    expect(kept_back.locator("#habit .rep")).to_have_count(4)
    expect(kept_back.locator("#strip .bar").first).to_be_attached()
    expect(kept_back.locator("#clean")).to_have_text("3 of 4")


def ask(stand_in: StandIn, page: Page) -> None:
    """Ask about the fourth rep."""
    stand_in.send(feedback(withheld=[3], ask=3, said="Rep 4: early, on the beat, or late?"))
    expect(page.locator("#guess")).to_be_visible()


@pytest.mark.parametrize(("key", "word"), [("ArrowLeft", "early"), ("ArrowDown", "on"), ("ArrowRight", "late")])
def test_three_arrows_answer_what_is_asked(stand_in: StandIn, kept_back: Page, key: str, word: str) -> None:
    """Left, down, right, with nothing focused; the tempo stays as it is. Arrows are no character keys (WCAG 2.1.4)."""
    ask(stand_in, kept_back)
    with kept_back.expect_response("**/api/guess"):
        kept_back.keyboard.press(key)
    assert stand_in.asked[-1] == ("POST", "guess", {"seat": "one", "rep": 3, "guess": word})
    assert kept_back.locator("#tempo").input_value() == "60"


def test_the_buttons_answer_too(stand_in: StandIn, kept_back: Page) -> None:
    """By mouse, and by the keyboard from one to the next; each is large enough to be hit (WCAG 2.5.8)."""
    ask(stand_in, kept_back)
    for button in kept_back.locator("#guess button").all():
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 24
    with kept_back.expect_response("**/api/guess"):
        kept_back.locator("#guess button").nth(2).click()
    assert stand_in.asked[-1] == ("POST", "guess", {"seat": "one", "rep": 3, "guess": "late"})
    stand_in.send(feedback(said="Right: 77 ms late."))
    expect(kept_back.locator("#guess")).to_be_hidden()


def test_where_nothing_is_asked_the_arrows_change_the_tempo(stand_in: StandIn, kept_back: Page) -> None:
    """Down is a click a minute slower, left and right are nothing."""
    for key in ("ArrowLeft", "ArrowRight", "ArrowDown"):
        kept_back.keyboard.press(key)
    expect(kept_back.locator("#tempo")).to_have_value("59")
    assert not [what for _, what, _ in stand_in.asked if what == "guess"]


def test_the_schedule_is_chosen_in_the_settings(stand_in: StandIn, open_page: Open) -> None:
    """Each with its sentence; it goes with the next start."""
    page = open_page()
    page.locator("#settings-now").click()
    page.locator("#feedback").select_option("say first")
    expect(page.locator("#feedback-said")).to_contain_text("You say whether it was early")
    page.keyboard.press("Escape")
    with page.expect_response("**/api/practice"):
        page.locator("#toggle").click()
    assert stand_in.asked[-1][2]["feedback"] == "say first"


def test_the_run_itself_is_not_changed(inside: Inside) -> None:
    """What is shown is worked out from the run, which keeps everything for later."""
    body = """(m, feedback) => {
      const run = {feedback, reps: [{rep: 0}, {rep: 1}], readings: {2: {}}, heard: [1]};
      const told = m.visibleRun(run);
      return [told.reps.length, told.blank, told.heard.length, run.reps.length, run.heard.length];
    }"""
    assert inside("core/feedback_filter.js", body, {**KEPT, "withheld": [1]}) == [1, True, 0, 2, 1]
