"""The sheet: drills are chosen in the book, and the daemon is asked for a PDF of them."""

from pathlib import Path

from playwright.sync_api import expect

from tests.browser.bookshelf import PDF
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn
from tests.browser.test_book import opened


def test_a_sheet_is_asked_for(stand_in: StandIn, open_page: Open) -> None:
    """What was chosen goes out as it stands there, each drill once, and the PDF comes under the title's name."""
    page = opened(open_page)
    page.locator("#ways").get_by_label("from B to C", exact=True).click()
    page.locator("#way-sheet").click()
    page.locator("#way-sheet").click()
    page.locator("#ways").get_by_label("from B to E", exact=True).click()
    page.locator("#way-sheet").click()
    page.locator("#ways").get_by_label("from low A to low A", exact=True).click()
    page.locator("#way-sheet").click()
    expect(page.locator("#sheet-open")).to_have_text("On the sheet: 3")
    page.locator("#sheet-open").click()
    page.locator("#sheet").get_by_label("Take off: grip from B to E").click()
    page.locator("#sheet-title").fill("Grips: for Monday")
    page.locator("#sheet-tempo").fill("60-80 by 4")
    page.locator("#sheet-paper").select_option("Letter")
    page.locator("#sheet-stages").check()
    with page.expect_download() as coming:
        page.locator("#sheet-make").click()
    assert stand_in.asked[-1] == (
        "POST",
        "sheet",
        {
            "drills": ["grip from B to C", "grip from low A to low A"],
            "stages": True,
            "tempo": "60-80 by 4",
            "title": "Grips: for Monday",
            "paper": "letter",
        },
    )
    assert coming.value.suggested_filename == "Grips for Monday.pdf"
    assert Path(coming.value.path()).read_bytes() == PDF
    expect(page.locator("#sheet-said")).to_have_text("Grips for Monday.pdf was made.")


def test_all_ways_at_once(open_page: Open) -> None:
    """One button puts all 46 ways of a grip on it, another takes all off; an empty sheet cannot be made."""
    page = opened(open_page)
    page.locator("#ways-sheet").click()
    expect(page.locator("#sheet-open")).to_have_text("On the sheet: 46")
    page.locator("#sheet-open").click()
    expect(page.locator("#sheet-drills li")).to_have_count(46)
    page.locator("#sheet-clear").click()
    expect(page.locator("#sheet-empty")).to_contain_text("Nothing is on the sheet yet.")
    expect(page.locator("#sheet-make")).to_be_disabled()
    page.keyboard.press("Escape")
    expect(page.locator("#sheet")).to_be_hidden()


def test_a_refusal_stands_in_the_dialog(stand_in: StandIn, open_page: Open, complaints: list[str]) -> None:
    """What the daemon says of a tempo it does not understand stands where it was typed."""
    stand_in.refusal = "The tempo is 'soon'; it must be such as '60-80 by 4'."
    page = opened(open_page)
    page.locator("#way-sheet").click()
    page.locator("#sheet-open").click()
    page.locator("#sheet-tempo").fill("soon")
    page.locator("#sheet-tempo").press("Enter")
    expect(page.locator("#sheet-said")).to_have_text(stand_in.refusal)
    expect(page.locator("#sheet-make")).to_be_enabled()
    complaints.clear()
