"""The keyboard alone is enough."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn, eventually

FOCUSED = """() => {
  const {id, tagName, textContent} = document.activeElement;
  const style = getComputedStyle(document.activeElement);
  const name = id || (tagName === 'BODY' ? tagName : textContent);
  return {name, outline: style.outlineStyle, width: parseFloat(style.outlineWidth)};
}"""


def grid_frame(*, running: bool) -> dict[str, Any]:
    """A run begins or ends."""
    wanted = scene.asked(scene.DRILLS[0])
    return {"kind": "grid", "seat": "one", "practice": scene.practice(wanted, []) if running else None}


def test_space_starts_and_stops(stand_in: StandIn, open_page: Open) -> None:
    """The space bar asks for the run that is shown, and then for its end."""
    page = open_page()
    page.keyboard.press("Space")
    body = {"seat": "one", "drill": "grip from B to C", "click_bpm": 60}
    eventually(stand_in, lambda asked: asked == [("POST", "practice", body)])
    stand_in.send(grid_frame(running=True))
    expect(page.locator("#toggle")).to_have_text("Stop")
    page.keyboard.press("Space")
    eventually(stand_in, lambda asked: asked[1:] == [("DELETE", "practice", None)])


def test_arrows_change_the_tempo_within_its_range(stand_in: StandIn, open_page: Open) -> None:
    """Up and down by one, Page Up and Page Down by four, never out of the range."""
    stand_in.state["tempo_range"] = (58.0, 65.0)
    page = open_page()
    tempo = page.locator("#tempo")
    for key, shown in [("ArrowUp", "61"), ("PageUp", "65"), ("PageUp", "65"), ("PageDown", "61")]:
        page.keyboard.press(key)
        expect(tempo).to_have_value(shown)
    for _ in range(5):
        page.keyboard.press("ArrowDown")
    expect(tempo).to_have_value("58")


def test_a_tempo_is_typed(stand_in: StandIn, open_page: Open) -> None:
    """Digits and Enter set the tempo; the next start asks for it. The space bar is free again at once."""
    page = open_page()
    page.locator("#tempo").focus()
    page.locator("#tempo").fill("72,5")
    page.keyboard.press("Enter")
    page.keyboard.press("Space")
    eventually(stand_in, lambda asked: bool(asked) and asked[0][2]["click_bpm"] == 72.5)


@pytest.mark.parametrize("typed", ["fast", "", "NaN", "1e999"])
def test_a_tempo_that_is_none_is_told(open_page: Open, typed: str) -> None:
    """What is no number is not sent; one sentence says what to type, and from where to where."""
    page = open_page()
    page.locator("#tempo").fill(typed)
    page.keyboard.press("Enter")
    expect(page.locator("#refused span")).to_contain_text("must be a number of clicks a minute from 20 to 400")


def test_a_tempo_out_of_range_is_refused_where_it_is_typed(stand_in: StandIn, open_page: Open) -> None:
    """And not only by Start; the tempo stays as it was, and the range is said in the unit of the field."""
    page = open_page()
    page.locator("#tempo").fill("9000")
    page.keyboard.press("Enter")
    expect(page.locator("#refused span")).to_contain_text(
        "'9000'; it must be a number of clicks a minute from 20 to 400"
    )
    page.locator("#to-beat").select_option("2")
    page.locator("#beats").fill("300")
    page.keyboard.press("Enter")
    expect(page.locator("#refused span")).to_contain_text("of beats a minute from 10 to 200")
    page.locator("#toggle").click()
    expect(page.locator("#tempo")).to_have_value("60")
    eventually(stand_in, lambda asked: [body["click_bpm"] for _, _, body in asked] == [60])


def test_a_change_begins_the_run_anew(stand_in: StandIn, open_page: Open) -> None:
    """While a run goes on, several changes of tempo in a row ask for one new run with the last of them."""
    page = open_page()
    stand_in.send(grid_frame(running=True))
    expect(page.locator("#toggle")).to_have_text("Stop")
    for _ in range(3):
        page.keyboard.press("ArrowUp")
    eventually(stand_in, lambda asked: len(asked) == 1 and asked[0][2]["click_bpm"] == 63)


def test_what_is_typed_after_a_press_takes_the_place_of_the_drill(open_page: Open, complaints: list[str]) -> None:
    """A second press sets the caret, so that a letter of it can be changed."""
    page = open_page()
    page.locator("#drill").click()
    page.keyboard.type("taor")
    expect(page.locator("#drill")).to_have_value("taor")
    expect(page.locator("#drills li")).to_have_count(1)
    page.keyboard.press("Escape")
    page.locator("#drill").click(position={"x": 20, "y": 15})
    page.keyboard.press("End")
    page.keyboard.type(", stage 1")
    expect(page.locator("#drill")).to_have_value("grip from B to C, stage 1")
    complaints.clear()  # words that are no drill yet are asked about, and refused


def test_a_drill_is_chosen_from_the_list(stand_in: StandIn, open_page: Open) -> None:
    """Type a few words, walk down, press Enter; Escape takes it all back."""
    page = open_page()
    drill = page.locator("#drill")
    drill.focus()
    drill.fill("taor")
    expect(page.locator("#drills li")).to_have_count(1)
    page.keyboard.press("Escape")
    expect(drill).to_have_value("grip from B to C")
    drill.fill("taor")
    page.keyboard.press("ArrowDown")
    expect(page.locator("#drills li")).to_have_attribute("aria-selected", "true")
    page.keyboard.press("Enter")
    expect(page.locator("h1:visible")).to_have_text("Taorluath from C to low A")
    drill.blur()
    page.keyboard.press("Space")
    eventually(stand_in, lambda asked: bool(asked) and asked[0][2]["drill"] == "taorluath from C to low A")


def test_a_drill_that_is_not_known_does_not_become_the_headline(open_page: Open, complaints: list[str]) -> None:
    """The list says why, with a guess, in the daemon's words; what was chosen before stays."""
    page = open_page()
    page.locator("#drill").fill("gripp from B to C")
    expect(page.locator("#drills")).to_contain_text("Did you mean 'grip'")
    page.keyboard.press("Enter")
    expect(page.locator("#drills")).to_contain_text("Did you mean 'grip'")
    expect(page.locator("#ornament")).to_have_text("Grip")
    page.locator("#drill").blur()
    expect(page.locator("#drill")).to_have_value("grip from B to C")
    expect(page.locator("#refused")).to_be_hidden()
    page.goto("about:blank")  # or an answer of 422 may still come after the next line
    complaints.clear()


def test_tab_reaches_everything_and_shows_where_it_is(open_page: Open) -> None:
    """Tab walks through every control once, in the order of reading, and each shows that it has the focus."""
    page = open_page()
    seen: list[str] = []
    page.keyboard.press("Tab")
    while (told := page.evaluate(FOCUSED))["name"] not in ("BODY", *seen):
        seen.append(told["name"].strip())
        assert told["outline"] != "none", told
        assert told["width"] >= 2, told
        page.keyboard.press("Tab")
    tempo = ["title", "slower", "tempo", "faster", "beats", "to-beat"]
    left = [*tempo, "toggle", "hear-asked", "drill", "1", "full", "volume", "ladder-now", "settings-now"]
    assert seen == [
        "Practise",
        "Just play",
        "Book",
        "Tunes",
        "Plans",
        "Progress",
        "History",
        "players-open",
        "setup-open",
        "theme",
        *left,
        "Help",
        "Diagnostics",
    ]


def test_the_set_up_is_reached_and_left(stand_in: StandIn, open_page: Open) -> None:
    """The set-up opens, its input is chosen, and Escape leads back to where the focus was."""
    page = open_page()
    page.locator("#setup-open").focus()
    page.keyboard.press("Enter")
    page.locator("#inputs button", has_text="demo").focus()
    page.keyboard.press("Enter")
    eventually(stand_in, lambda asked: asked == [("POST", "input", {"seat": "one", "input": "demo"})])
    page.keyboard.press("Space")
    page.keyboard.press("Escape")
    expect(page.locator("#setup-open")).to_be_focused()
    assert not any(what == "practice" for _, what, _ in stand_in.asked)
