"""The sheet: drills are chosen in the book, and the daemon makes a PDF of them."""

from pathlib import Path

from playwright.sync_api import expect

from tests.browser.bookshelf import PDF
from tests.browser.conftest import Inside, Open
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
    expect(page.locator("#sheet-open")).to_have_text("Sheet: 3")
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
    expect(page.locator("#sheet-open")).to_have_text("Sheet: 46")
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


def test_a_long_sheet_shows_how_far_it_is_and_can_be_given_up(stand_in: StandIn, open_page: Open) -> None:
    """A bar with words, in the dialog and on its button; meanwhile the page goes on, and the next sheet is made."""
    page = opened(open_page)
    page.locator("#ways-sheet").click()
    page.locator("#sheet-open").click()
    page.locator("#sheet-title").fill("Endless")
    page.locator("#sheet-make").click()
    expect(page.locator("#sheet-done")).to_have_js_property("value", 34)
    expect(page.locator("#sheet-done")).to_have_js_property("max", 92)
    expect(page.locator("#sheet-far")).to_have_text("36 %: setting the lines")
    expect(page.locator("#sheet-make")).to_be_disabled()
    page.keyboard.press("Escape")
    expect(page.locator("#sheet-open")).to_have_text("Making the sheet: 36 %")
    page.locator("#ways").get_by_label("from B to C", exact=True).click()
    expect(page.locator("#way-name")).to_have_text("grip from B to C")
    page.locator("#sheet-open").click()
    page.locator("#sheet-stop").click()
    expect(page.locator("#sheet-said")).to_have_text("Cancelled.")
    expect(page.locator("#sheet-progress")).to_be_hidden()
    page.locator("#sheet-title").fill("Short")
    with page.expect_download() as coming:
        page.locator("#sheet-make").click()
    assert coming.value.suggested_filename == "Short.pdf"
    assert [what for _, what, _ in stand_in.asked] == ["sheet", "sheet"]


def test_a_daemon_that_goes_away_meanwhile_is_told(stand_in: StandIn, open_page: Open, complaints: list[str]) -> None:
    """The sheet is not waited for for ever, and what to do is said."""
    page = opened(open_page)
    page.locator("#way-sheet").click()
    page.locator("#sheet-open").click()
    page.locator("#sheet-title").fill("Endless")
    page.locator("#sheet-make").click()
    expect(page.locator("#sheet-far")).to_have_text("36 %: setting the lines")
    stand_in.stop()
    expect(page.locator("#sheet-said")).to_contain_text("daemon", timeout=15_000)
    expect(page.locator("#sheet-make")).to_be_enabled()
    complaints.clear()


def test_the_words_follow_the_work(inside: Inside) -> None:
    """Nothing known yet, the first half, the second."""
    body = "(m, all) => all.map((one) => m.progressWords(one))"
    asked = [{"done": 0, "of": 0}, {"done": 45, "of": 92}, {"done": 46, "of": 92}]
    assert inside("book/words.js", body, asked) == [
        "Getting ready",
        "48 %: setting the lines",
        "50 %: printing the pages",
    ]


def test_lines_are_read_whole_however_they_come(inside: Inside) -> None:
    """Cut in the middle of a line and of a letter, as a network may; the last needs no end."""
    body = """async (m) => {
      const bytes = new TextEncoder().encode('{"a": "\\u00fc\u00fc"}\\n{"b": 2}\\n{"c": 3}');
      const stream = new ReadableStream({
        start(way) { for (const one of bytes) way.enqueue(Uint8Array.of(one)); way.close(); },
      });
      const found = [];
      for await (const line of m.jsonLines(stream)) found.push(line);
      return found;
    }"""
    assert inside("core/lines.js", body) == [{"a": "üü"}, {"b": 2}, {"c": 3}]
