"""Past runs through tunes on the page, with the real daemon: looked at, heard again, compared, deleted for good."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from chanterd.hearing.inputs import open_input
from chanterd.hearing.simulated_tune import HUMAN
from chanterd.history.players import create
from chanterd.history.store import open_store
from chanterd.history.tune_runs import tune_runs_of
from tests.browser.conftest import Inside
from tests.browser.real_daemon import looking
from tests.history.played_tunes import play_tune, simulated
from tests.history.practised_runs import noon, practise
from tests.serving.running_daemon import served

NOW = simulated(habits=replace(HUMAN, crushed=0.4), seed=4)


@pytest.fixture
def page(tmp_path: Path, browser: Browser) -> Iterator[Page]:
    """The history of two runs through a passage and one of a drill; what the page complained of is nothing."""
    store = open_store(None, tmp_path)
    person = create(store, "Player 1", noon())
    play_tune(store, person, simulated(habits=replace(HUMAN, crushed=1.0)), wall=noon())
    practise(store, person, [4.0, 5.0], wall=noon(1))
    play_tune(store, person, NOW, wall=noon(2))
    store.close()
    console: list[str] = []
    with served(tmp_path, [open_input("demo")]) as (address, _), looking(browser, address, console=console) as page:
        page.goto(address + "#history")
        expect(page.locator("#history-days a")).to_have_count(3)
        yield page
    assert console == []


def test_the_newest_run_is_open_in_its_music(page: Page) -> None:
    """What it was, its marks as they were then, what to take out next, the tempo by bar, every ornament."""
    summary = NOW.run().found()["summary"]
    expect(page.locator("#run-name")).to_have_text("Seven Gulls, bars 0 to 3, Thursday 2 April 2026")
    expect(page.locator("#past-figures")).to_contain_text(f"{summary['clean']} of {summary['ornaments']}")
    expect(page.locator("#past-music .marked").first).to_be_visible()
    expect(page.locator("#past-music h3")).to_have_text(["Part 1 of 2"])
    expect(page.locator("#past-result b").first).to_have_text(summary["said"])
    expect(page.locator("#past-result .take-out li")).to_have_count(len(summary["take_out"]))
    expect(page.locator("#past-result .tempi svg")).to_be_visible()
    expect(page.locator("#past-each li")).to_have_count(summary["ornaments"])
    assert not page.evaluate(
        "new Set([...document.querySelectorAll('#past-result [data-at]')].map((one) => one.style.left)).size < 2"
    )


def test_it_is_heard_again_beside_the_model_and_ornament_by_ornament(page: Page) -> None:
    """With the arrow keys too, as with a drill; the music shows where it is."""
    page.locator("[data-past=yours]").click()
    expect(page.locator("#past-heard")).to_have_text("You hear Seven Gulls as you played it, at full speed.")
    expect(page.locator("#past-music .cursor").first).to_be_attached()
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#past-heard")).to_have_text("You hear the model of Seven Gulls, at full speed.")
    first = page.locator("#past-each li").first
    name = first.locator("b").inner_text()
    first.locator("button").click()
    expect(page.locator("#past-heard")).to_contain_text(f"You hear the {name} in bar ")
    expect(first.locator("button")).to_have_text("Stop")
    expect(page.locator("#past-heard")).to_have_text("", timeout=10_000)  # it ends by itself


def test_it_is_compared_with_the_run_before_it(page: Page) -> None:
    """Ornament by ornament: all of the other's were crushed."""
    expect(page.locator("#past-other option")).to_have_count(1)
    expect(page.locator("#past-compared tbody tr").first).to_contain_text("better")
    words = page.locator("#past-compared tbody tr").first.inner_text()
    assert " clean" in words


def test_tunes_can_be_listed_alone_and_a_run_deleted(page: Page, tmp_path: Path) -> None:
    """Asked twice, the safe answer has the focus; then it is gone for good."""
    page.locator("#history-ornament").select_option("Seven Gulls")
    expect(page.locator("#history-days a")).to_have_count(2)
    page.locator("#past-delete").click()
    expect(page.locator("#past-no")).to_be_focused()
    page.locator("#past-yes").click()
    expect(page.locator("#history-days a")).to_have_count(1)
    store = open_store(None, tmp_path)
    with store.reading() as connection:
        assert [run.day for run in tune_runs_of(connection, 1)] == ["2026-03-31"]
    store.close()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080), (390, 844)])
def test_it_fits_every_screen_and_axe_finds_nothing(page: Page, width: int, height: int) -> None:
    """Nothing pushes the page sideways (WCAG 2.2, 1.4.10); axe-core's rules."""
    page.set_viewport_size({"width": width, "height": height})
    expect(page.locator("#past-compared tbody tr").first).to_be_attached()
    expect(page.locator("#past-music .marked").first).to_be_attached()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert Axe().run(page).response["violations"] == []


def test_lists_of_two_kinds_reach_as_far_back_as_both(inside: Inside) -> None:
    """What is older than the oldest of a list that goes on is not shown yet, since runs may be missing among it."""
    lists = [
        {"runs": [{"run": 3, "began_ns": 30}, {"run": 2, "began_ns": 20}], "older": True},
        {
            "runs": [{"run": 9, "kind": "tune", "began_ns": 25}, {"run": 8, "kind": "tune", "began_ns": 5}],
            "older": False,
        },
    ]
    found = inside("history/state.js", "(m, lists) => m.mixed(lists)", lists)
    assert [one["run"] for one in found["runs"]] == [3, 9, 2]
    assert found["older"] is True
    addresses = inside("history/state.js", "(m, runs) => runs.map(m.addressOf)", found["runs"])
    assert addresses == ["3", "tune-9", "2"]


def test_a_part_of_a_take_begins_with_what_sounds_already(inside: Inside) -> None:
    """And ends in time."""
    take = {
        "notes": [
            {"at_s": 0, "note": "B"},
            {"at_s": 1, "note": "C"},
            {"at_s": 2, "note": "D"},
            {"at_s": 9, "note": "E"},
        ],
        "clicks": [{"at_s": 1.5, "accent": True}, {"at_s": 8, "accent": False}],
        "end_s": 10,
    }
    part = inside("history/tune_state.js", "(m, take) => m.clipped(take, 1.25, 3)", take)
    assert part == {
        "notes": [{"at_s": 0, "note": "C"}, {"at_s": 0.75, "note": "D"}],
        "clicks": [{"at_s": 0.25, "accent": True}],
        "end_s": 1.75,
        "beat_s": 0,
    }


def test_two_runs_are_compared_ornament_by_ornament(inside: Inside) -> None:
    """The greatest change first; what the other run did not have is said so."""

    def notes(*cleans: tuple[str, bool]) -> list[dict[str, object]]:
        steps = [{"onset_ms": 0.0}]
        return [
            {
                "note": 1,
                "bar": 1,
                "pass": 1,
                "name": "C",
                "onset_ms": 50.0,
                "expected_ms": 0.0,
                "ornament": {"drill": drill, "gracenotes": [], "clean": clean, "said": "", "steps": steps},
            }
            for drill, clean in cleans
        ]

    mine = notes(("birl from E", True), ("birl from E", False), ("grip from B to C", True), ("doubling", True))
    other = notes(("birl from E", True), ("birl from E", False), ("grip from B to C", False))
    rows = inside("history/tune_state.js", "(m, mine, other) => m.compared(mine, other)", mine, other)
    assert [(row["words"], row["change"]) for row in rows] == [
        *[("grip from B to C", 1), ("birl from E", 0), ("doubling", 0)]
    ]
    words = inside("history/tune_words.js", "(m, rows) => rows.map(m.changeWords)", rows)
    assert words == ["better", "about the same", "\N{EN DASH}"]
    times = inside("history/tune_words.js", "(m) => [1, 2, 3, 11, 22].map((pass) => m.whereWords({ bar: 4, pass }))")
    assert times == ["bar 4", *[f"bar 4, {time} time" for time in ("2nd", "3rd", "11th", "22nd")]]
