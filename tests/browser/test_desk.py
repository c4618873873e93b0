"""The teacher's desk: keys and clicker, what is called, and what wall and seats do then."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from tests.browser.classroom import PATIENCE_MS, class_of, opened
from tests.browser.conftest import Inside
from tests.browser.test_axe import found
from tests.serving.running_daemon import ask

PLAYING = {"state": "playing", "frozen": False, "spotlight": None, "alone": None}
HELD = {**PLAYING, "frozen": True}
LIT = {**PLAYING, "spotlight": "2"}


@pytest.mark.parametrize(
    ("key", "klass", "meant"),
    [
        ("PageDown", None, {"act": "start"}),
        ("PageDown", PLAYING, {"act": "freeze", "frozen": True}),
        ("PageDown", HELD, {"act": "freeze", "frozen": False}),
        ("PageDown", {**PLAYING, "state": "over"}, {"act": "start"}),
        ("PageUp", PLAYING, {"act": "stop"}),
        (" ", PLAYING, {"act": "toggle"}),
        ("h", HELD, {"act": "freeze", "frozen": False}),
        ("h", {**PLAYING, "state": "over"}, None),
        ("2", PLAYING, {"act": "light", "seat": "2"}),
        ("9", PLAYING, None),
        ("r", PLAYING, None),
        ("r", LIT, {"act": "replay", "seat": "2"}),
        ("a", LIT, {"act": "alone", "seat": "2"}),
        ("A", {**LIT, "alone": "2"}, {"act": "alone", "seat": None}),
        ("Escape", LIT, {"act": "everybody"}),
        ("x", PLAYING, None),
    ],
)
def test_each_key_does_one_thing(inside: Inside, key: str, klass: Any, meant: Any) -> None:
    """A presenter's clicker sends Page Up and Page Down (common practice, no source)."""
    body = "(m, key, klass) => m.meaning({key, target: document.body}, klass, ['1', '2'])"
    assert inside("desk/keys.js", body, key, klass) == meant


def test_a_kind_that_the_desk_is_not_sent_is_an_error(inside: Inside) -> None:
    """As on every page."""
    body = (
        "(m) => { try { m.reduce(m.nothing(), {kind: 'step'}); return null } catch (error) { return error.message } }"
    )
    assert inside("desk/state.js", body) == "A frame of kind 'step' is not known to the desk."


@pytest.mark.parametrize(("typed", "number"), [("2,5", 2.5), (" 8 ", 8), ("0", None), ("many", None), ("51", None)])
def test_a_length_is_a_number_within_its_range(inside: Inside, typed: str, number: float | None) -> None:
    """With a decimal comma, too."""
    assert inside("desk/call.js", "(m, typed) => m.numberFrom(typed, [0.5, 50])", typed) == number


def test_a_class_is_called_held_lit_and_stopped(browser: Browser, tmp_path: Path) -> None:
    """By the clicker and the keyboard; the wall and the seats' own pages follow."""
    with class_of(tmp_path, 3) as (page, daemon), opened(browser, f"{page}desk/") as desk:
        expect(desk.locator("#seats .seat")).to_have_count(3, timeout=PATIENCE_MS)
        desk.locator("#tempo").fill("200")
        desk.locator("#tempo").press("Enter")
        desk.locator("#climbs").check()
        desk.locator("#top").fill("210")
        desk.locator("#top").press("Tab")
        desk.get_by_label("Keep the reps of Player 3").uncheck()
        expect(desk.get_by_label("Keep the reps of Player 3")).not_to_be_checked()
        desk.get_by_label("Keep the reps of Player 3").check()
        desk.keyboard.press("PageDown")
        expect(desk.locator("#playing")).to_have_text("3 play: grip from B to C at 200.")
        expect(desk.locator("#ladder-said")).to_contain_text("of 3 have 3 clean in a row. With 3 it goes up to 204.")
        expect(desk.locator("#seats .word").first).not_to_be_empty(timeout=PATIENCE_MS)
        assert [seat["sounds"] for seat in daemon.state()["seats"]] == [False] * 3
        desk.locator("#sound").select_option("wall")
        desk.keyboard.press("Escape")
        desk.locator("h1").click()
        desk.keyboard.press("2")
        expect(desk.locator(".seat[data-lit] .who")).to_contain_text("2 · Player 2")
        desk.keyboard.press("PageDown")
        expect(desk.locator("#freeze")).to_have_text("Let the wall go on")
        desk.keyboard.press("r")
        expect(desk.locator("#everybody")).to_be_visible()
        wall = ask(page, "GET", "api/wall").json()
        assert (wall["state"], wall["sounds"], wall["replay"]["seat"]) == ("frozen", True, "2")
        desk.keyboard.press("a")
        expect(desk.locator("#playing")).to_have_text("Player 2 plays alone: grip from B to C at 200.")
        desk.keyboard.press("Escape")
        expect(desk.locator("#playing")).to_have_text("3 play: grip from B to C at 200.")
        desk.keyboard.press("PageUp")
        expect(desk.locator("#playing")).to_have_text("Over: grip from B to C at 200.")
        expect(desk.locator("#toggle")).to_have_text("Start the class")
        expect(desk.locator("#after h2")).to_contain_text("After class: grip from B to C", timeout=PATIENCE_MS)
        names = desk.locator(".after-seat h3").all_inner_texts()
        assert names == ["Player 1", "Player 2", "Player 3"]
        assert found(desk) == []
        desk.locator("[data-forget]").click()
        desk.get_by_role("button", name="Delete it for good?").click()
        expect(desk.locator("#after")).to_be_hidden()


def test_nothing_is_typed_before_the_desk_knows_what_the_class_plays(browser: Browser, tmp_path: Path) -> None:
    """It would be taken back by what the class plays already; the keys say that they cannot yet."""
    with class_of(tmp_path, 2) as (address, _):
        ask(address, "POST", "api/class", {"drill": "grip from B to C", "click_bpm": 76})
        held: list[Route] = []
        context = browser.new_context()
        page = context.new_page()

        def hold(route: Route) -> None:
            held.append(route)

        page.route("**/api/class", hold)
        page.goto(f"{address}desk/")
        expect(page.locator("#seats li")).to_have_count(2)
        page.locator("#tempo").evaluate("(field) => field.focus()")
        expect(page.locator("#tempo")).not_to_be_focused()
        page.keyboard.press("PageDown")
        expect(page.locator("#refused")).to_contain_text("The daemon has not answered yet.")
        held[0].continue_()
        expect(page.locator("#tempo")).to_have_value("76")
        page.locator("#tempo").fill("92")
        page.locator("#tempo").press("Enter")
        expect(page.locator("#playing")).to_contain_text("at 76")
        expect(page.locator("#tempo")).to_have_value("92")
        context.close()


DRAWN = """async () => {
  const {fill, html} = await import('/ui/html.js');
  const place = document.createElement('div');
  document.body.replaceChildren(place);
  window.pressed = [];
  place.addEventListener('click', ({target}) => pressed.push(target.dataset.act));
  window.drawn = (rep) => fill(place, html`<button type="button" data-act="wall">Wall, rep ${rep}</button>`);
  drawn(1);
}"""


def test_a_press_counts_although_what_is_pressed_would_be_drawn_again_meanwhile(blank: Page) -> None:
    """As when a rep ends while the teacher holds a button of its seat down, by pointer or by key."""
    blank.evaluate(DRAWN)
    button = blank.locator("button")
    button.hover()
    blank.mouse.down()
    blank.evaluate("drawn(2)")
    expect(button).to_have_text("Wall, rep 1")
    blank.mouse.up()
    expect(button).to_have_text("Wall, rep 2")
    button.focus()
    blank.keyboard.down("Space")
    blank.evaluate("drawn(3); drawn(4)")
    expect(button).to_have_text("Wall, rep 2")
    blank.keyboard.up("Space")
    expect(button).to_have_text("Wall, rep 4")
    assert blank.evaluate("pressed") == ["wall", "wall"]


def test_the_desk_says_what_it_cannot_do(browser: Browser, tmp_path: Path) -> None:
    """In the daemon's words or its own, beside the field."""
    with class_of(tmp_path, 2) as (page, daemon), opened(browser, f"{page}desk/") as desk:
        metres = desk.locator("[data-metres='2']")
        metres.fill("7,5")
        metres.press("Tab")
        expect(desk.locator("#refused")).to_be_hidden()
        desk.locator("#last-row").fill("far")
        desk.locator("#last-row").press("Tab")
        expect(desk.locator("#refused span")).to_have_text("'far' is not a number from 0.5 to 50.")
        desk.locator("#tempo").fill("far")
        desk.locator("#tempo").press("Tab")
        expect(desk.locator("#refused span")).to_contain_text("'far' is not a number from")
        expect(desk.locator("#tempo")).to_have_value("60")  # as the class would begin
        desk.get_by_role("button", name="Remove seat 1").click()
        expect(desk.locator("#seats .seat")).to_have_count(1)
        assert daemon.seats["2"].distance_m == 7.5


@pytest.mark.parametrize(("width", "height", "theme"), [(1280, 800, "light"), (390, 844, "dark"), (320, 800, "light")])
def test_the_desk_is_accessible(browser: Browser, tmp_path: Path, width: int, height: int, theme: str) -> None:
    """By axe-core's rules for WCAG 2.2 AA; nothing is wider than the window (WCAG 1.4.10 at 320 pixels)."""
    with (
        class_of(tmp_path, 2) as (page, _),
        opened(browser, f"{page}desk/", width, height, color_scheme=theme) as desk,
    ):
        ask(page, "POST", "api/class", {"drill": "grip from B to C", "click_bpm": 200}).raise_for_status()
        expect(desk.locator("#seats .word").first).not_to_be_empty(timeout=PATIENCE_MS)
        desk.locator("#climbs").check()
        assert found(desk) == []
        assert desk.evaluate("document.documentElement.scrollWidth") <= width
