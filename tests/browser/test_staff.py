"""The staff on the practice view: the steps of the running rep are marked on it as they are played."""

import re
from typing import Any

from playwright.sync_api import Page, expect

from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn

MARKS = """() => [...document.querySelectorAll('#asked-staff [data-tick]')]
  .filter((one) => getComputedStyle(one).visibility === 'visible').map((one) => Number(one.dataset.tick))"""
PLACES = """(step) => ['[data-step', '[data-tick'].map((one) => document.querySelector(`#asked-staff ${one}="${step}"]`)
  .getBoundingClientRect()).map(({left, right, bottom}) => [left, right, bottom])"""


def step_frame(rep: Any, step: int) -> dict[str, Any]:
    """That a step was heard."""
    told = {"step": -1, "kind": "lead", **rep["lead"]} if step < 0 else rep["steps"][step]
    shape = {**told, "step_kind": told["kind"], "kind": "step", "seat": "one", "length_ms": None}
    return {**shape, "rep": rep["rep"], "final": False, "heard_ns": 1, "sent_ns": 1}


def marked(page: Page, steps: list[int]) -> None:
    """Wait until just these steps are marked."""
    same = f"(steps) => JSON.stringify(({MARKS})().sort((a, b) => a - b)) === JSON.stringify(steps)"
    page.wait_for_function(same, arg=steps)


def test_steps_are_marked_as_they_are_played(stand_in: StandIn, open_page: Open) -> None:
    """Each step gets a line under it when it is heard, not before; the next rep begins with a clean staff."""
    asked = scene.asked(scene.DRILLS[0])
    reps = [scene.rep(asked, 60, index) for index in range(2)]
    stand_in.one["practice"] = scene.practice(asked, [])
    page = open_page()
    expect(page.locator("#asked-staff [data-step]")).to_have_count(5)
    marked(page, [])
    for step in (-1, 0, 1, 2, 3):
        stand_in.send(step_frame(reps[0], step))
        marked(page, [] if step < 0 else list(range(-1, step + 1)))
    for step in (-1, 0):
        stand_in.send(step_frame(reps[1], step))
    marked(page, [-1, 0])


def test_a_missing_step_has_no_mark(stand_in: StandIn, open_page: Open) -> None:
    """After the verdict the steps that were not heard stand without a line."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = scene.practice(asked, [scene.missing(scene.rep(asked, 60, 0), 1)])
    marked(open_page(), [-1, 0, 2, 3])


def test_a_mark_is_more_than_colour(stand_in: StandIn, open_page: Open) -> None:
    """WCAG 1.4.1: the line stands under its own note, as wide as its head, below everything of the staff."""
    asked = scene.asked(scene.DRILLS[2])
    stand_in.one["practice"] = scene.practice(asked, [scene.rep(asked, 60, 0)])
    page = open_page()
    marked(page, [-1, 0, 1, 2, 3, 4])
    for step in range(-1, 5):
        note, line = page.evaluate(PLACES, step)
        assert line[0] <= note[1]
        assert line[1] >= note[0]
        assert abs(line[0] - note[0]) < 3
        assert line[2] > note[2]


def test_the_staff_follows_the_drill(stand_in: StandIn, open_page: Open, complaints: list[str]) -> None:
    """Another drill has another staff; what is no drill is refused under the field, and the staff stays."""
    page = open_page()
    staff = page.locator("#asked-staff svg")
    expect(staff).to_have_attribute("aria-label", "grip from B to C: low G, D gracenote, low G, then C on the beat")
    page.locator("#drill").fill("birl from E")
    page.keyboard.press("Enter")
    expect(staff).to_have_attribute("aria-label", re.compile("^birl from E"))
    page.locator("#drill").fill("gripp from B to C")
    page.keyboard.press("Enter")
    expect(page.locator("#drills")).to_contain_text("Did you mean 'grip'")
    expect(staff).to_have_attribute("aria-label", re.compile("^birl from E"))
    assert stand_in.running
    complaints.clear()
