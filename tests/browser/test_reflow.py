"""Small screens: nothing to be scrolled sideways, targets for fingers, strip and verdict always in view."""

import pytest
from playwright.sync_api import expect

from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn


@pytest.mark.parametrize("view", ["practise", "book", "tunes", "plans", "progress", "report", "history", "diagnostics"])
def test_nothing_is_scrolled_sideways_at_400_percent(stand_in: StandIn, open_page: Open, view: str) -> None:
    """WCAG 2.2, 1.4.10: at a width of 320 CSS pixels, which is 1280 at 400 %, only up and down."""
    asked = scene.asked(scene.DRILLS[2])
    stand_in.one["practice"] = scene.practice(asked, scene.dozen(asked, 60))
    page = open_page(320, 256)
    page.evaluate("view => { location.hash = view; }", view)
    expect(page.locator(f"#{view}")).to_be_visible()
    page.wait_for_load_state("networkidle")
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def test_a_phone_keeps_strip_verdict_and_stop_in_view(stand_in: StandIn, open_page: Open) -> None:
    """Beside a ladder and a notice, and wherever the page is scrolled to."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = {**scene.practice(asked, scene.dozen(asked, 60)), "ladder": scene.ladder()}
    stand_in.one["chanter"].update({"state": "gone", "said": "It was unplugged."})
    page = open_page(390, 844)
    expect(page.locator("#verdict")).not_to_be_empty()
    for down in (0, 250, 500, 5000):
        page.evaluate("down => scrollTo(0, down)", down)
        for part in ("#strip", "#verdict", "#toggle"):
            expect(page.locator(part)).to_be_in_viewport(ratio=1)


def test_fingers_find_what_they_press_on_a_phone(stand_in: StandIn, open_page: Open) -> None:
    """WCAG 2.2, 2.5.5: while a run goes on what starts, stops and sets the tempo is at least 44 by 44 pixels."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = scene.practice(asked, scene.dozen(asked, 60))
    page = open_page(390, 844)
    for part in ("#toggle", "#hear-asked", "#slower", "#faster", "#tempo", "#players-open", "#setup-open", "nav a"):
        box = page.locator(part).first.bounding_box()
        assert box
        assert min(box["width"], box["height"]) >= 44, (part, box)


def test_the_title_opens_the_drills(open_page: Open) -> None:
    """Tapping what is practised leads to the list, in which another drill can be chosen."""
    page = open_page(390, 844)
    page.locator("#title").click()
    expect(page.locator("#drill")).to_be_focused()
    expect(page.locator("#drills li").first).to_be_visible()


def test_the_volume_is_read_as_a_percentage(open_page: Open) -> None:
    """By those who listen to the page: 45 %, not 0.45."""
    volume = open_page().locator("#volume")
    expect(volume).to_have_attribute("aria-valuetext", "40 %")
    volume.press("ArrowRight")
    expect(volume).to_have_attribute("aria-valuetext", "45 %")
