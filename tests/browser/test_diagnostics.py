"""The diagnostics view: figures a person can read, asked for only when they are wanted."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Inside, Open


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, "0 min 0 s"), (59.9, "0 min 59 s"), (3600, "1 h 0 min"), (273_659, "3 d 4 h")]
)
def test_a_length_of_time_is_said_in_two_units(inside: Inside, seconds: float, words: str) -> None:
    """Nobody wants to divide seconds by 86 400."""
    assert inside("setup/diagnostics.js", "(m, seconds) => m.spanWords(seconds)", seconds) == words


def test_it_is_reached_from_the_foot_of_the_page_and_looks_again_when_asked(open_page: Open) -> None:
    """By keyboard; nothing changes by itself (WCAG 2.2, 2.2.2), and what the log says is text."""
    page = open_page()
    page.locator("footer [data-view=diagnostics]").focus()
    page.keyboard.press("Enter")
    expect(page).to_have_title("Diagnostics · chanterd")
    expect(page.locator("#practise")).to_be_hidden()
    expect(page.locator("#diagnostics-daemon")).to_contain_text("3 d 4 h")
    expect(page.locator("#diagnostics-daemon")).to_contain_text("2030-05-01 18:00:00 UTC")
    seat = page.locator("#diagnostics-seats tbody tr")
    expect(seat).to_contain_text("Timed by arrival.")
    expect(seat.locator("td").last).to_have_text("1")
    expect(page.locator("#diagnostics-log li").first).to_have_text("2030-05-01 18:00:01 INFO <b>the last</b>")
    page.locator("#diagnostics-again").press("Enter")
    expect(seat.locator("td").last).to_have_text("2")


def test_it_can_be_read_on_a_phone(open_page: Open) -> None:
    """No word at the head of a column is broken, and a wait is told to a tenth of a ms."""
    page = open_page(390, 844, "#diagnostics")
    expect(page.locator("#diagnostics-daemon")).to_contain_text("0.2 ms")
    lines = page.locator("#diagnostics-seats thead th").evaluate_all(
        """all => all.map((it) => {
          const words = document.createRange();
          words.selectNodeContents(it);
          return [it.textContent.split(' ').length, words.getClientRects().length];
        })"""
    )
    assert all(found <= words for words, found in lines), lines


def test_an_address_that_names_no_view_leads_to_practice(inside: Inside) -> None:
    """An old bookmark or a typing mistake still shows something to play."""
    routes = "(m, hashes) => hashes.map((hash) => m.routeOf(hash))"
    practise = {"view": "practise", "name": None}
    told = inside("core/route.js", routes, ["", "#nothing", "#__proto__/x", "#diagnostics", "#book/birl", "#book/%E0"])
    assert told[:3] == [practise] * 3
    assert told[3:] == [
        {"view": "diagnostics", "name": None},
        {"view": "book", "name": "birl"},
        {"view": "book", "name": None},
    ]
