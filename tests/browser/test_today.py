"""The proposal for today on the page: seen where a player looks first, started, refused, offered again."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.proposing import LINES
from tests.browser.stand_in import StandIn, eventually


def proposed(stand_in: StandIn, open_page: Open) -> Page:
    """A page with a proposal on it."""
    stand_in.proposing.lines = list(LINES)
    page = open_page()
    expect(page.locator("#today li")).to_have_count(4)
    return page


def test_each_line_says_why_and_one_button_starts(stand_in: StandIn, open_page: Open) -> None:
    """Before a run the reasons are where the strip will be; a press sets the drill and its tempo up, Start plays it."""
    page = proposed(stand_in, open_page)
    first = page.locator("#today li").first
    expect(first).to_contain_text("was clean 4 times in 10 on Monday: build it up from stage 2 at 60.")
    expect(first).to_contain_text("About 6 minutes.")
    expect(page.get_by_role("button", name="Start")).to_have_count(1)
    page.locator("#today li", has_text="throw on D").get_by_role("button", name="Choose").click()
    expect(page.locator("#tempo")).to_have_value("64")
    expect(page.locator("#toggle")).to_be_focused()
    with page.expect_response("**/api/practice"):
        page.keyboard.press("Space")
    [(_, what, body)] = [one for one in stand_in.asked if one[1] == "practice"]
    assert (what, body["drill"], body["click_bpm"]) == ("practice", "throw on D from low A", 64)


@pytest.mark.parametrize(("width", "height"), [(390, 844), (390, 664), (800, 900)])
def test_on_a_phone_the_empty_card_begins_with_its_words(
    stand_in: StandIn, open_page: Open, width: int, height: int
) -> None:
    """And not with the room of a strip that is not there; the first thing proposed can be chosen without scrolling."""
    stand_in.proposing.lines = list(LINES)
    page = open_page(width, height)
    expect(page.locator("#today li").first).to_be_visible()
    expect(page.locator("#strip")).to_be_hidden()
    card = page.locator("#card").bounding_box()
    head = page.locator("#empty h2").first.bounding_box()
    choose = page.locator("#today li button").first.bounding_box()
    start = page.locator("#toggle").bounding_box()
    assert card
    assert head
    assert choose
    assert start
    assert head["y"] - card["y"] < 60
    assert card["height"] <= height * 0.6 + 1
    assert choose["y"] + choose["height"] <= min(card["y"] + card["height"], start["y"])


def test_what_is_refused_goes_and_can_come_back(stand_in: StandIn, open_page: Open) -> None:
    """By keyboard: the focus stays in the list, and a button takes the refusals back."""
    page = proposed(stand_in, open_page)
    button = page.get_by_role("button", name="Not today: birl from E")
    button.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#today li")).to_have_count(3)
    expect(page.locator("#today button").first).to_be_focused()
    refused = ("POST", "proposal/refused", {"seat": "one", "drill": "birl from E", "week": False})
    eventually(stand_in, lambda asked: asked[-1:] == [refused])
    page.get_by_role("button", name="Bring back the one I turned down").click()
    expect(page.locator("#today li")).to_have_count(4)


def test_the_plans_offer_all_of_it(stand_in: StandIn, open_page: Open) -> None:
    """Refused for a week there too; the whole is gone through as a plan."""
    page = proposed(stand_in, open_page)
    page.locator("nav a", has_text="Plans").click()
    page.get_by_role("button", name="Not this week: birl from E").click()
    expect(page.locator("#plans-today li")).to_have_count(3)
    eventually(stand_in, lambda asked: asked[-1][2]["week"] is True)
    page.get_by_role("button", name="Practise all of it").click()
    expect(page.locator("#practise")).to_be_visible()
    eventually(stand_in, lambda asked: asked[-1] == ("POST", "proposal/session", {"seat": "one"}))


def test_a_day_that_is_done_says_so(stand_in: StandIn, open_page: Open) -> None:
    """And what was done; a player of whom nothing is proposed and nothing done sees no list at all."""
    stand_in.proposing.done = ["grip from B to C", "birl from E"]
    page = open_page()
    expect(page.locator("#today")).to_contain_text("That is enough for today.")
    expect(page.locator("#today")).to_contain_text("Done today: grip from B to C, birl from E.")
    stand_in.proposing.done = []
    page.reload()
    expect(page.locator("#empty h2").first).to_have_text("Ready when you are")
    expect(page.locator("#today")).to_be_hidden()
