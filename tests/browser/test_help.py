"""The page's own help: found from the foot of the page, readable on a phone, without a dead link."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Open


def test_help_is_found_from_the_page_and_leads_back(open_page: Open) -> None:
    """At the foot; and from there back to practising."""
    page = open_page()
    page.get_by_role("link", name="Help", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Help")
    page.get_by_role("link", name="Back to practising").click()
    expect(page.locator("#toggle")).to_be_visible()


def test_every_subject_in_the_list_is_there(open_page: Open) -> None:
    """A link to each section, in their order."""
    page = open_page(path="help/")
    links = page.locator("nav a").evaluate_all("all => all.map((one) => one.getAttribute('href').slice(1))")
    assert links == page.locator("main > section").evaluate_all("all => all.map((one) => one.id)")
    assert len(links) > 10


@pytest.mark.parametrize("width", [320, 390, 1280, 1920])
def test_it_is_never_scrolled_sideways(open_page: Open, width: int) -> None:
    """320 pixels are 1280 at 400 %, as WCAG 2.2 asks (1.4.10)."""
    page = open_page(width=width, path="help/")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = "all => all.filter((one) => one.getBoundingClientRect().height < 24).map((one) => one.textContent)"
    # The least size of a target, WCAG 2.2 (2.5.8); links within a sentence are excepted there.
    assert page.locator("a:not(p a)").evaluate_all(small) == []
