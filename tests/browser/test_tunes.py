"""Tunes on the page: in staff notation with marks, added and deleted; an ornament is taken out to practise."""

from pathlib import Path

import pytest
from playwright.sync_api import FilePayload, Page, expect

from tests.browser.conftest import Complaints, Inside, Open
from tests.browser.stand_in import StandIn, eventually

OWN = b"X:1\nT:Made up at home\nM:2/4\nL:1/8\nK:HP\n{gcd}c2 {g}A2 | {GdG}c2 A2 |]\n"


def opened(open_page: Open, name: str = "Seven Gulls", width: int = 1280, height: int = 800) -> Page:
    """The view with that tune, engraved and marked."""
    page = open_page(width, height)
    page.locator("nav a", has_text="Tunes").click()
    page.locator("#tunes-list a", has_text=name).click()
    expect(page.locator("#tune-name")).to_have_text(name)
    expect(page.locator("#tune-parts .marked").first).to_be_visible()
    return page


def test_a_tune_is_shown_part_by_part_with_a_mark_under_each_ornament(open_page: Open, stand_in: StandIn) -> None:
    """As many marks as notes with an ornament of the book; shape and, beside it in the list, a word."""
    page = opened(open_page)
    expect(page.locator("#tune-parts h3")).to_have_text(["Part 1 of 2", "Part 2 of 2"])
    listed = {
        one["drill"] for one in page.request.get(stand_in.address + "api/tunes/seven-gulls/mastery?seat=one").json()
    }
    notes = page.request.get(stand_in.address + "api/tunes/seven-gulls").json()["notes"]
    expect(page.locator("#tune-parts .marked")).to_have_count(sum(note["drill"] in listed for note in notes))
    words = page.locator("#tune-ornaments .word").all_inner_texts()
    assert set(words) == {"never heard", "not yet", "nearly", "steady"}
    shapes = page.evaluate(
        "[...new Set([...document.querySelectorAll('#tune-parts .mark')].map((one) => one.getAttribute('d')))]"
    )
    assert len(shapes) == 4


def test_a_tune_opened_by_its_address_is_that_of_whoever_sits_there(open_page: Open, stand_in: StandIn) -> None:
    """Also before the page knows who that is, as after a reload; and when somebody else sits down, it is theirs."""
    page = open_page(path="#tunes/seven-gulls")
    expect(page.locator("#tune-parts .marked").first).to_be_visible()
    expect(page.locator("#tune-work-on")).not_to_be_checked()
    stand_in.tunes.worked = [{"tune": "seven-gulls", "performance": None}]
    stand_in.one["player"] = {"number": 2, "name": "Ailsa"}
    stand_in.send({"kind": "resync", "lost": 0, "state": stand_in.state})
    expect(page.locator("#tune-work-on")).to_be_checked()
    expect(page.locator("#refused")).to_be_hidden()


def test_what_is_opened_while_the_daemon_is_away_opens_when_it_is_back(
    open_page: Open, stand_in: StandIn, complaints: Complaints
) -> None:
    """The tune that the address names, and not the one before it; the refusal goes with its reason."""
    page = opened(open_page)
    stand_in.stop()
    expect(page.locator("#away")).to_be_visible()
    page.locator("#tunes-list a", has_text="The Net Mender").click()
    expect(page.locator("#refused")).to_contain_text("The daemon does not answer")
    stand_in.start()
    page.locator("#away button").click()
    expect(page.locator("#tune-name")).to_have_text("The Net Mender")
    expect(page.locator("#tune-parts .marked").first).to_be_visible()
    expect(page.locator("#refused")).to_be_hidden()
    complaints.clear()


def test_a_mark_is_under_its_own_gracenotes(open_page: Open) -> None:
    """Within half a letter of their middle, in every row."""
    page = opened(open_page, width=390, height=844)
    off = page.evaluate("""() => {
        const middle = (elements) => {
            const boxes = elements.map((one) => one.getBoundingClientRect());
            return (Math.min(...boxes.map((box) => box.left)) + Math.max(...boxes.map((box) => box.right))) / 2;
        };
        const first = document.querySelector("#tune-parts svg");
        const marks = [...first.querySelectorAll(".marked .target")].map((one) => middle([one])).sort((a, b) => a - b);
        const groups = Map.groupBy(first.querySelectorAll("[data-grace]"), (one) => one.dataset.grace);
        const graces = [...groups.values()].map(middle).sort((a, b) => a - b);
        return Math.max(...marks.map((mark) => Math.min(...graces.map((grace) => Math.abs(grace - mark)))));
    }""")
    assert off < 4


def test_one_click_takes_an_ornament_out(open_page: Open) -> None:
    """It is chosen by its mark or its name, shown wherever it occurs, and practised by its button."""
    page = opened(open_page)
    row = page.locator("#tune-ornaments li", has_text="throw on D from E")
    row.locator("[data-drill]").press("Enter")
    expect(page.locator("#tune-parts .marked.chosen")).to_have_count(1)
    page.locator("#tune-parts .marked").first.click()
    expect(page.locator("#tune-ornaments li.chosen")).to_have_count(1)
    row.locator("[data-practise]").click()
    expect(page.locator("#practise")).to_be_visible()
    expect(page.locator("#ornament")).to_have_text("Throw on D")


def test_a_file_is_added_and_deleted(open_page: Open, tmp_path: Path) -> None:
    """It opens at once; deleted, the list has only the others."""
    page = opened(open_page)
    (tmp_path / "home.abc").write_bytes(OWN)
    page.locator("#tune-file").focus()
    expect(page.locator("#tune-file")).to_be_focused()  # by keyboard too
    page.locator("#tune-file").set_input_files(tmp_path / "home.abc")
    expect(page.locator("#tune-name")).to_have_text("Made up at home")
    expect(page.locator("#tunes-list a")).to_have_count(4)
    expect(page.locator("#tune-about")).to_have_text("2/4, 2 bars")
    page.locator("#tune-delete").click()
    expect(page.locator("#tunes-list a")).to_have_count(3)
    expect(page.locator("#tune-none")).to_be_visible()


def test_a_file_that_is_no_tune_is_refused_in_a_sentence(open_page: Open, complaints: list[str]) -> None:
    """And the tune that is open stays."""
    page = opened(open_page)
    page.locator("#tune-file").set_input_files(
        FilePayload(name="letter.abc", mimeType="text/plain", buffer=b"Dear piper")
    )
    expect(page.locator("#refused span")).to_contain_text("letter.abc: holds no tune")
    expect(page.locator("#tune-name")).to_have_text("Seven Gulls")
    complaints.clear()  # the browser notes every answer that is a refusal


@pytest.mark.parametrize(("width", "height"), [(320, 640), (390, 844), (1280, 800), (1920, 1080)])
def test_the_music_is_no_wider_than_its_place(open_page: Open, width: int, height: int) -> None:
    """At every size, and no less than two thirds of it; the page does not scroll sideways."""
    page = opened(open_page, "The Lamp at Quarry Hollow", width, height)
    page.evaluate("() => new Promise((done) => setTimeout(done, 500))")
    place, music, wide = page.evaluate(
        "[document.querySelector('#tune-parts').clientWidth, "
        "document.querySelector('#tune-parts svg').getBoundingClientRect().width, document.documentElement.scrollWidth]"
    )
    assert 0.66 * place < music <= place
    assert wide <= width


def test_the_width_of_a_row_is_in_steps(inside: Inside) -> None:
    """So that a few pixels more or less need no new engraving; never too narrow or too wide for the daemon."""
    widths = [inside("tunes/state.js", "(m, px) => m.rowWidth(px, 16)", px) for px in (100, 360, 362, 800, 5000)]
    assert widths == [30, 40, 40, 95, 160]


def test_all_its_ornaments_are_practised_as_a_plan_or_printed(open_page: Open, stand_in: StandIn) -> None:
    """The plan is asked of the daemon; the sheet's dialog has the drills and a title."""
    page = opened(open_page)
    page.locator("#tune-print").click()
    expect(page.locator("#sheet-title")).to_have_value("The exercises of Seven Gulls")
    expect(page.locator("#sheet-drills li")).to_have_count(page.locator("#tune-ornaments li").count())
    page.keyboard.press("Escape")
    page.locator("#tune-plan").click()
    eventually(stand_in, lambda asked: asked[-1:] == [("POST", "tunes/seven-gulls/session", {"seat": "one"})])
    expect(page.locator("#practise")).to_be_visible()


def test_a_tune_is_worked_on_until_its_performance(open_page: Open, stand_in: StandIn) -> None:
    """Ticked, it may have a day; both are there again when the view is opened again, and gone when it is unticked."""
    page = opened(open_page)
    expect(page.locator("#tune-when")).to_be_hidden()
    page.locator("#tune-work-on").check()
    with page.expect_response(lambda answer: answer.request.method == "POST"):
        page.locator("#tune-performance").fill("2030-05-20")
        page.locator("#tune-performance").press("Tab")
    page.locator("nav a", has_text="Book").click()
    expect(page.locator("#book")).to_be_visible()
    assert stand_in.tunes.worked == [{"tune": "seven-gulls", "performance": "2030-05-20"}]
    page.locator("nav a", has_text="Tunes").click()
    expect(page.locator("#tune-performance")).to_have_value("2030-05-20")
    with page.expect_response(lambda answer: answer.request.method == "DELETE"):
        page.locator("#tune-work-on").uncheck()
    expect(page.locator("#tune-when")).to_be_hidden()
    assert stand_in.tunes.worked == []


def test_a_tune_is_heard_and_the_music_shows_what_sounds(open_page: Open) -> None:
    """The whole of it, a part or a bar, at any tempo; the same button stops it."""
    page = opened(open_page, width=390, height=844)
    assert page.locator("#tune-passage option").all_inner_texts()[:4] == ["the whole tune", "part 1", "part 2", "bar 0"]
    page.locator("#tune-passage").select_option("part 2")
    page.locator("#tune-tempo").fill("30")
    page.locator("#tune-play").click()
    expect(page.locator("#tune-play")).to_have_text("Stop")
    expect(page.locator("#tune-parts [data-note='33'].sounding")).to_have_count(1)
    expect(page.locator("#tune-parts [data-note='33'].sounding")).to_have_count(0)
    page.locator("#tune-play").click()
    expect(page.locator("#tune-play")).to_have_text("Hear it")
    expect(page.locator("#tune-parts .sounding")).to_have_count(0)


def test_a_tempo_that_cannot_be_heard_is_refused(open_page: Open) -> None:
    """In a sentence with the range; nothing sounds."""
    page = opened(open_page)
    page.locator("#tune-tempo").fill("fast")
    page.locator("#tune-tempo").press("Enter")
    expect(page.locator("#refused span")).to_contain_text("The tempo is 'fast'")
    expect(page.locator("#tune-play")).to_have_text("Hear it")
