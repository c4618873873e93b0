"""How a drill is asked: its layout in time, how open the hand is, by which standard; all on the practice view."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn
from tests.browser.test_keyboard import eventually
from tests.browser.test_page import overflow, run_of


def test_what_is_set_is_asked_for(stand_in: StandIn, open_page: Open) -> None:
    """Nothing is sent until it is chosen; then the share of a click and the layout's name go with the next start."""
    page = open_page()
    expect(page.locator("#settings-now")).to_have_text("usual · hand 6\u00a0%")
    page.locator("#settings-now").click()
    expect(page.locator("#spread-said")).to_contain_text("Short steps keep a floor")
    page.locator("#spread").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.locator("#layout").select_option("every click")
    expect(page.locator("#layout-said")).to_contain_text("An ornament on every click")
    expect(page.locator("#settings-now")).to_have_text("every click · usual · hand 10\u00a0%")
    page.locator("#toggle").click()
    body = {"player": "one", "drill": "grip from B to C", "click_bpm": 60, "spread": 0.1, "layout": "every click"}
    eventually(stand_in, lambda asked: asked == [("POST", "practice", body)])


def test_the_settings_of_a_run_are_shown(stand_in: StandIn, open_page: Open) -> None:
    """A run that is going on tells its own spread, layout and standard; the range is the daemon's."""
    stand_in.state["spread_range"] = (0.02, 0.25)
    run = run_of()
    run.update({"spread": 0.2, "layout": "long note before", "standard": "strict"})
    stand_in.one["practice"] = run
    page = open_page()
    expect(page.locator("#settings-now")).to_have_text("long note before · strict · hand 20\u00a0%")
    assert page.locator("#spread").get_attribute("min") == "2"
    assert page.locator("#spread").get_attribute("max") == "25"


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080)])
def test_they_open_without_scrolling(stand_in: StandIn, open_page: Open, width: int, height: int) -> None:
    """Open, they stand within the screen beside their line; Escape closes them and leads back there."""
    stand_in.one["practice"] = run_of()
    page = open_page(width, height)
    page.locator("#settings-now").focus()
    page.keyboard.press("Enter")
    box = page.locator("#settings .panel").bounding_box()
    assert box
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= height
    assert overflow(page) == (0, 0)
    page.locator("#layout").focus()
    page.keyboard.press("Escape")
    expect(page.locator("#settings .panel")).to_be_hidden()
    expect(page.locator("#settings-now")).to_be_focused()
