"""Past free playing on the page, with the real daemon: listed, looked at, taken away, deleted for good."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from chanterd.hearing.inputs import open_input
from tests.assessing.test_take_import import DRILL, FREE, written
from tests.browser.conftest import Inside
from tests.browser.real_daemon import looking
from tests.serving.running_daemon import ask, served


@pytest.fixture
def page(tmp_path: Path, browser: Browser) -> Iterator[Page]:
    """The history after a recording was kept: a drill, then free playing; what the page complained of is nothing."""
    path = written(tmp_path / "lesson.mid", DRILL, FREE + "B700 G60 d30 G10 c700 e500")
    console: list[str] = []
    with served(tmp_path, [open_input("demo")]) as (address, _), looking(browser, address, console=console) as page:
        ask(address, "POST", "api/listen/keep?name=lesson.mid&ended_ms=1773140000000", content=path.read_bytes())
        page.goto(address + "#history")
        expect(page.locator("#history-days a")).to_have_count(2)
        yield page
    assert console == []


def test_every_ornament_of_it_is_there_to_be_looked_at(page: Page) -> None:
    """Among the other runs, and by itself; axe-core finds nothing."""
    expect(page.locator("#run-name")).to_have_text("Free playing, Tuesday 10 March 2026")
    expect(page.locator("#history-days a").first).to_contain_text("Free playing")
    expect(page.locator("#free-figures")).to_contain_text("1 of 2")
    options = page.locator("#free-ornaments [role=option]")
    expect(options).to_contain_text(["doubling from low A to C", "grip from B to C"])
    options.last.click()
    expect(page.locator("#free-ornaments .said")).to_have_text(
        "You crushed the second low G: 10 ms, too short to hear."
    )
    assert (page.locator("#free-take").get_attribute("href") or "").endswith("api/history/free/1/take.mid")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.locator("#history-ornament").select_option("Free playing")
    expect(page.locator("#history-days a")).to_have_count(1)


def test_progress_shows_it_apart_from_drills(page: Page) -> None:
    """Marked as played without a click; a day of it is a day of practice."""
    page.goto(page.url.replace("#history", "#progress"))
    page.locator("#span [data-span=all]").click()
    rows = page.locator("#free-ways tbody tr")
    expect(rows.locator("th")).to_have_text(["grip from B to C", "doubling from low A to C"])
    expect(rows.first.locator("td").nth(1)).to_have_text("0 of 1 clean")
    expect(page.locator("#progress-free")).to_contain_text("judged by shape only")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_it_is_deleted_for_good_after_a_question(page: Page) -> None:
    """And the next run is shown."""
    page.locator("#free-delete").click()
    expect(page.locator("#free-no")).to_be_focused()
    page.locator("#free-no").click()
    expect(page.locator("#free-sure")).to_be_hidden()
    page.locator("#free-delete").click()
    page.locator("#free-yes").click()
    expect(page.locator("#history-days a")).to_have_count(1)
    expect(page.locator("#run-name")).to_contain_text("rip from B to C")
    expect(page.locator("#past-free")).to_be_hidden()


def test_how_long_it_lasted_is_said_in_seconds_or_minutes(inside: Inside) -> None:
    """In words for a person."""
    said = "(m, [begin, end]) => m.lastedWords({began_ns: begin, until_ns: end})"
    assert inside("history/free_words.js", said, [0, 41e9]) == "41 s"
    assert inside("history/free_words.js", said, [0, 250e9]) == "4 min"
