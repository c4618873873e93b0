"""A passage of a tune practised on the page, with the real daemon and the simulated player."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from chanterd.hearing.inputs import open_input
from tests.browser.conftest import Inside
from tests.browser.real_daemon import looking
from tests.serving.running_daemon import served

TUNE = {
    "click": "1/4",
    "parts": [[0, 4]],
    "notes": [
        {"bar": 1, "start": "0", "drill": None},
        {"bar": 1, "start": "1/8", "drill": None},
        {"bar": 1, "start": "1/4", "drill": "birl from E"},
        {"bar": 1, "start": "3/8", "drill": None},
        {"bar": 2, "start": "1/2", "drill": None},
    ],
}


@pytest.fixture
def page(tmp_path: Path, browser: Browser) -> Iterator[Page]:
    """The view with the jig, and what the page complained of is nothing."""
    console: list[str] = []
    with served(tmp_path, [open_input("demo")]) as (address, _), looking(browser, address, console=console) as page:
        page.goto(address + "#tunes/seven-gulls")
        expect(page.locator("#tune-parts .marked").first).to_be_visible()
        yield page
    assert console == []


def test_an_ornament_is_taken_out_played_and_put_back(page: Page) -> None:
    """Around it, then wider; the cursor goes along, and stopping says what to take out next."""
    page.locator("#tune-ornaments [data-drill='doubling from E to E']").click()
    expect(page.locator("#tune-passage")).to_have_value("around 6")
    page.locator("#tune-tempo").fill("200")
    page.locator("#tune-run").click()
    expect(page.locator("#tune-run")).to_have_text("Stop playing")
    expect(page.locator("#tune-going")).to_contain_text("The click counts you in.")
    expect(page.locator("#tune-going")).to_contain_text(" at 200 clicks.")
    expect(page.locator("#tune-choice")).to_be_hidden()  # nothing of it can be changed now
    expect(page.locator("#tune-how")).to_be_hidden()
    expect(page.locator("#tune-parts [data-note='6'].cursor")).to_have_count(1, timeout=20_000)
    expect(page.locator("#tune-last-said")).to_contain_text("The doubling in bar 2:")
    page.locator("#tune-wider").click()
    expect(page.locator("#tune-passage")).to_have_value("bar 2")
    expect(page.locator("#tune-parts [data-note='9'].cursor")).to_have_count(1, timeout=20_000)
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press(" ")  # stops it, in whatever view
    expect(page.locator("#tune-run")).to_have_text("Play it over and over")
    expect(page.locator("#tune-choice #tune-tempo")).to_be_visible()
    expect(page.locator("#tune-how")).to_be_visible()
    expect(page.locator("#tune-result b").first).to_contain_text("clean")
    expect(page.locator("#tune-parts .cursor")).to_have_count(0)
    expect(page.locator("#tune-replay [role=status]")).to_have_text("arrow keys: left is yours, right is the model")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#tune-replay [data-hear=model]")).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("Escape")
    expect(page.locator("#tune-replay [data-hear=model]")).to_have_attribute("aria-pressed", "false")
    row = page.locator("#tune-ornaments li", has_text="doubling from E to E")
    expect(row.locator(".word")).not_to_have_text("never heard")
    expect(row).to_have_class("chosen")


def test_a_ladder_of_widths_shows_where_it_is_and_why(page: Page) -> None:
    """Set by keyboard beforehand; the ornament just played is drawn, and heard again afterwards."""
    page.locator("#tune-ornaments [data-drill='doubling from E to E']").click()
    page.locator("#tune-tempo").fill("200")
    page.locator("#tune-ladder").focus()
    page.keyboard.press("w")
    expect(page.locator("#tune-ladder")).to_have_value("width")
    page.locator("#tune-in-a-row").fill("9")  # it goes on only after this test
    page.locator("#tune-tries").fill("20")
    page.locator("#tune-to").select_option("bar")
    page.locator("#tune-run").press("Enter")
    expect(page.locator("#tune-rungs li")).to_have_text(["the ornament in bar 2 by itself, you are here", "bar 2"])
    expect(page.locator("#tune-climb-now")).to_contain_text("With the full row: on to bar 2.")
    expect(page.locator("#tune-strip .bar").first).to_be_visible(timeout=20_000)
    expect(page.locator("#tune-strip")).to_have_attribute("aria-label", re.compile("high G"))
    expect(page.locator("#tune-said")).to_contain_text(re.compile("Clean|You|Late|Early|Extra"))
    expect(page.locator("#tune-last-said")).to_contain_text("The doubling in bar 2:")
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press(" ")
    expect(page.locator("#tune-run")).to_have_text("Play it over and over")
    expect(page.locator("#tune-said")).to_contain_text("The whole ladder:")
    row = page.locator("#tune-ornaments li", has_text="doubling from E to E")
    expect(row.locator(".word")).not_to_have_text("never heard")
    page.locator("#tune-replay [data-factor='4']").click()
    expect(page.locator("#tune-replay [data-factor='4']")).to_have_attribute("aria-pressed", "true")
    page.locator("#tune-replay [data-hear='rep']").click()
    expect(page.locator("#tune-replay [data-hear='rep']")).to_have_attribute("aria-pressed", "true")


def test_a_stage_is_chosen_where_there_is_one_and_a_wrong_rule_is_refused(page: Page) -> None:
    """In a sentence; nothing begins."""
    page.locator("#tune-ornaments [data-drill='doubling from E to E']").click()
    expect(page.locator("#tune-stage option")).to_have_text(["all of the ornament", "stage 1 of 2"])
    page.locator("#tune-ladder").select_option("tempo")
    page.locator("#tune-in-a-row").fill("three")
    page.locator("#tune-run").click()
    expect(page.locator("#refused")).to_contain_text("'clean in a row' of the ladder is 'three'; it must be a number.")
    expect(page.locator("#tune-run")).to_have_text("Play it over and over")


def test_the_click_stops_where_the_player_keeps_their_own_pulse(page: Page) -> None:
    """A ladder of tempi needs its click, so it is not offered there."""
    page.locator("#tune-ladder").select_option("tempo")
    expect(page.locator("#tune-own")).to_be_hidden()
    page.locator("#tune-ladder").select_option("")
    page.locator("#tune-own").check()
    page.locator("#tune-tempo").fill("200")
    with page.expect_response("**/api/practice") as answer:
        page.locator("#tune-run").click()
    assert answer.value.json()["grid"]["click_off"] is True
    page.locator("#tune-run").click()
    expect(page.locator("#tune-run")).to_have_text("Play it over and over")


def test_what_of_the_tune_is_asked_for(inside: Inside) -> None:
    """An ornament with how much around it, or notes."""
    asked = "(m, passage) => m.asked(passage)"
    found = [
        inside("tunes/rule.js", asked, {"key": key, "first": 1, "last": 3})
        for key in ("around 2", "two 2", "bar 1", "tune")
    ]
    assert found == [
        {"ornament": 2, "width": "ornament"},
        {"ornament": 2, "width": "two bars"},
        {"from": 1, "to": 3},
        {"from": 1, "to": 3},
    ]


def test_passages_around_an_ornament_come_first(inside: Inside) -> None:
    """From the note before to the note after, its beat, two bars; then the tune and its bars."""
    found = inside("tunes/state.js", "(m, tune) => m.passagesOf(tune, 'birl from E')", TUNE)
    assert [(one["key"], one["first"], one["last"]) for one in found] == [
        *[("around 2", 1, 3), ("beat 2", 2, 3), ("two 2", 0, 4)],
        *[("tune", 0, 4), ("bar 1", 0, 3), ("bar 2", 4, 4)],
    ]


def test_wider_is_the_next_passage_that_holds_it(inside: Inside) -> None:
    """Until nothing is wider than the tune."""
    wider = "(m, {tune, run}) => m.wider(m.passagesOf(tune, 'birl from E'), run)?.key ?? null"
    keys = [
        inside("tunes/state.js", wider, {"tune": TUNE, "run": {"first": first, "last": last}})
        for first, last in ((2, 3), (1, 3), (0, 3), (0, 4))
    ]
    assert keys == ["around 2", "bar 1", "two 2", None]


def test_the_tempo_by_bar_is_a_line_within_its_box(inside: Inside) -> None:
    """The tempo asked for is a line of its own; some bars are named, with where."""
    tempi = [{"bar": bar, "click_bpm": bpm} for bar, bpm in ((1, 100), (2, 120), (3, 80))]
    picture = inside("tunes/state.js", "(m, summary) => m.tempoPicture(summary)", {"click_bpm": 100, "tempi": tempi})
    assert picture == {
        "low": 80,
        "high": 120,
        "asked": "50.0",
        "points": "0.0,50.0 50.0,0.0 100.0,100.0",
        "bars": [{"bar": 1, "at": "0.0"}, {"bar": 2, "at": "50.0"}, {"bar": 3, "at": "100.0"}],
    }
    long = [{"bar": 1 + bar, "click_bpm": 100} for bar in range(64)]
    named = inside("tunes/state.js", "(m, s) => m.tempoPicture(s).bars.length", {"click_bpm": 100, "tempi": long})
    assert named == 8
