"""The report as a page to be printed."""

from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Open
from tests.browser.test_colour import THEMES
from tests.browser.test_progress import TODAY


@pytest.fixture
def report(open_page: Open) -> Page:
    """The report of the last three months of simulated practice, reached from the progress view."""
    page = open_page()
    page.clock.set_fixed_time(TODAY)
    page.locator("nav a", has_text="Progress").press("Enter")
    page.locator("#progress[data-from]").wait_for()  # by then the link stays where it is
    page.locator("#progress a", has_text="Report").press("Enter")
    page.locator("#report-words section").first.wait_for()
    return page


def test_it_tells_of_the_days_that_were_looked_at(report: Page) -> None:
    """The progress view's span, until it is chosen otherwise."""
    expect(report).to_have_title("Report · chanterd")
    expect(report.locator("#report-days")).to_have_text("31 December 2025 to 31 March 2026")
    expect(report.locator("#report-name")).to_have_text("Ailsa")
    report.locator("#report-from").fill("2026-03-01")
    expect(report.locator("#report-days")).to_have_text("1 March to 31 March 2026")
    assert report.locator("#report h2").all_inner_texts()[-1] == "Take care"
    expect(report.locator("#report aside")).to_contain_text("Simulated")


def test_swapped_days_are_told_on_the_page(report: Page, complaints: list[str]) -> None:
    """The daemon's own words, where every refusal stands."""
    report.locator("#report-from").fill("2026-04-09")
    expect(report.locator("#refused")).to_contain_text("did you swap them?")
    assert [told for told in complaints if "422" not in told] == []
    complaints.clear()  # the browser itself tells of the refusal


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_print_is_the_report_and_nothing_else(report: Page, tmp_path: Path, paper: str) -> None:
    """No header, no buttons; every heading is on it; a span of a season is two pages at most."""
    out = tmp_path / "print.pdf"
    report.pdf(path=out, format=paper, prefer_css_page_size=False)
    document = pypdfium2.PdfDocument(out)
    text = "\n".join(document[number].get_textpage().get_text_bounded() for number in range(len(document)))
    pages = len(document)
    document.close()
    for heading in report.locator("#report h2").all_inner_texts():
        assert heading in text
    assert "Chanter set-up" not in text
    assert "Back to progress" not in text
    assert pages <= 2


@pytest.mark.parametrize("theme", THEMES)
def test_paper_is_white_whatever_the_screen(report: Page, theme: str) -> None:
    """Who looks at a dark screen prints on white."""
    report.emulate_media(media="print", color_scheme=theme)  # type: ignore[arg-type]  # one of two words
    ink, paper = report.evaluate(
        "() => [getComputedStyle(document.querySelector('#report article')).color,"
        " getComputedStyle(document.querySelector('#report article')).backgroundColor]"
    )
    assert paper == "rgb(255, 255, 255)"
    assert ink == "rgb(29, 34, 39)"
