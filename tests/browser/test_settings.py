"""How a drill is asked: its layout in time, how open the hand is, by which standard; all on the practice view."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn, eventually
from tests.browser.test_page import overflow, run_of


def test_what_is_set_is_asked_for(stand_in: StandIn, open_page: Open) -> None:
    """Nothing is sent until it is chosen; then the share of a click and the layout's name go with the next start."""
    page = open_page()
    expect(page.locator("#settings-now")).to_have_text("Settings: usual, open hand 6\u00a0%")
    page.locator("#settings-now").click()
    expect(page.locator("#spread-said")).to_contain_text("Steps never get too short to hear")
    page.locator("#spread").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.locator("#layout").select_option("every click")
    expect(page.locator("#layout-said")).to_contain_text("An ornament on every click")
    expect(page.locator("#settings-now")).to_have_text("Settings: every click, usual, open hand 10\u00a0%")
    page.locator("#toggle").click()
    body = {"seat": "one", "drill": "grip from B to C", "click_bpm": 60, "spread": 0.1, "layout": "every click"}
    eventually(stand_in, lambda asked: asked == [("POST", "practice", body)])


def test_the_settings_of_a_run_are_shown(stand_in: StandIn, open_page: Open) -> None:
    """A run that is going on tells its own spread, layout and standard; the range is the daemon's."""
    stand_in.state["spread_range"] = (0.02, 0.25)
    run = run_of()
    run.update({"spread": 0.2, "layout": "long note before", "standard": "strict"})
    stand_in.one["practice"] = run
    page = open_page()
    expect(page.locator("#settings-now")).to_have_text("Settings: long note before, strict, open hand 20\u00a0%")
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


def test_they_are_never_in_the_way(stand_in: StandIn, open_page: Open) -> None:
    """One panel is open at a time; a press beside it closes it, and so does a run that begins, which it would cover."""
    page = open_page()
    ladder, settings = page.locator("#ladder .panel"), page.locator("#settings .panel")
    page.locator("#settings-now").click()
    page.locator("#ladder-now").click()
    expect(ladder).to_be_visible()
    expect(settings).to_be_hidden()
    page.locator("#card").click(position={"x": 500, "y": 10})
    expect(ladder).to_be_hidden()
    page.locator("#settings-now").press("Enter")
    expect(settings).to_be_visible()
    page.locator("#strip").evaluate("() => document.activeElement.blur()")
    page.keyboard.press(" ")
    eventually(stand_in, lambda asked: [what for _, what, _ in asked] == ["practice"])
    expect(settings).to_be_hidden()


def test_what_can_be_chosen_can_be_read(stand_in: StandIn, open_page: Open) -> None:
    """The longest of the layouts that ship has room in its list."""
    stand_in.state["layouts"] = [{"name": "up and down the scale", "said": "From each note to the next."}]
    page = open_page()
    page.locator("#settings-now").click()
    page.locator("#layout").select_option("up and down the scale")
    short = page.evaluate(
        """() => {
          const shown = document.querySelector('#layout'), free = shown.cloneNode(true);
          free.style.cssText = 'position: absolute; width: auto';
          shown.parentNode.append(free);
          const wanted = free.getBoundingClientRect().width;
          free.remove();
          return wanted - shown.getBoundingClientRect().width;
        }"""
    )
    assert short <= 0


def test_where_teachers_disagree_about_the_beat_the_player_chooses(stand_in: StandIn, open_page: Open) -> None:
    """The field is there for such drills only; the choice is kept by the daemon, and the drill says it."""
    page = open_page()
    page.locator("#settings-now").click()
    expect(page.locator("#beat-place-field")).to_be_hidden()
    page.keyboard.press("Escape")
    page.locator("#drill").fill("birl from E")
    page.keyboard.press("Enter")
    page.locator("#settings-now").click()
    expect(page.locator("#beat-place option")).to_have_text(["low G tap", "low A"])
    expect(page.locator("#beat-place-said")).to_have_text(
        "Some teachers put the low A before the first tap on the beat. This is where the book puts it."
    )
    page.locator("#beat-place").select_option("low A")
    theirs = "birl from E, beat on low A"
    expect(page.locator("#drill")).to_have_value(theirs)
    expect(page.locator("#beat-place-said")).to_contain_text("The book puts it on the low G tap.")
    expect(page.get_by_role("button", name="stage 1, beat on low A")).to_be_visible()
    page.locator("#toggle").click()
    asked: list[object] = [("POST", "placement", {"seat": "one", "drill": theirs})]
    asked.append(("POST", "practice", {"seat": "one", "drill": theirs, "click_bpm": 60}))
    eventually(stand_in, lambda there: there == asked)


def test_the_book_shows_the_beat_where_its_player_puts_it(stand_in: StandIn, open_page: Open) -> None:
    """Ways, staves and stages, and what goes onto a sheet; where the beat cannot be there it is as in the book."""
    stand_in.one["placements"] = [{"ornament": "birl", "at": "step 1"}]
    page = open_page(path="#book/birl")
    expect(page.locator("#entry-about")).to_contain_text("Choose yours in Settings, on Practise.")
    page.get_by_label("from E to low A").click()
    expect(page.locator("#way-name")).to_have_text("birl from E, beat on low A")
    expect(page.locator("#built-stages h4").first).to_have_text("Stage 1 beat on low A")
    page.get_by_label("from low A to low A").click()
    expect(page.locator("#way-name")).to_have_text("birl from low A")


def test_nothing_can_be_set_before_the_page_knows_who_sits_there(stand_in: StandIn, open_page: Open) -> None:
    """What was typed before that would be lost; once somebody sits there, what is typed counts."""
    seats = stand_in.state["seats"]
    stand_in.state["seats"] = []
    page = open_page(path="#practise")
    for field in (
        "#tempo",
        "#beats",
        "#slower",
        "#toggle",
        "#drill",
        "#standard",
        "#climbs",
        "#players-open",
        "#setup-open",
    ):
        expect(page.locator(field)).to_be_disabled()
    eventually(stand_in, lambda _: bool(stand_in.viewers))
    stand_in.send({"kind": "seats", "seats": seats})
    page.locator("#tempo").fill("92")
    page.locator("#tempo").press("Enter")
    page.keyboard.press(" ")
    body = {"seat": "one", "drill": "grip from B to C", "click_bpm": 92}
    eventually(stand_in, lambda asked: asked == [("POST", "practice", body)])


def test_a_drill_chosen_in_the_book_before_that_is_practised_once_it_is_known(
    stand_in: StandIn, open_page: Open
) -> None:
    """What cannot wait, such as the space bar, is refused in a sentence, which goes once it is no longer true."""
    seats = stand_in.state["seats"]
    stand_in.state["seats"] = []
    page = open_page(path="#book/taorluath")
    page.locator("#way-practise").click()
    expect(page.locator("#practise")).to_be_visible()
    eventually(stand_in, lambda _: bool(stand_in.viewers))
    page.keyboard.press(" ")
    expect(page.locator("#refused")).to_contain_text("The daemon has not answered yet. Try again in a moment.")
    stand_in.send({"kind": "seats", "seats": seats})
    expect(page.locator("#ornament")).to_have_text("Taorluath")
    expect(page.locator("#refused")).to_be_hidden()
    assert stand_in.asked == []
