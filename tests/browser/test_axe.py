"""Every view in every state, light and dark, on a screen and on a phone, checked by axe-core.

axe-core (MPL-2.0, in the package axe-playwright-python) is the reference: its rules for WCAG 2.2 A and AA and its best
practices, the size of targets among them. What it cannot decide by itself is not counted.
"""

import json
from collections.abc import Callable
from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Route, expect

from tests.browser import planning, scene
from tests.browser.conftest import Open
from tests.browser.proposing import LINES
from tests.browser.stand_in import StandIn
from tests.browser.test_after import ENDED, MANY
from tests.browser.test_listen import FOUND, LESSON, run_of_tune
from tests.browser.test_progress import TODAY
from tests.browser.tune_frames import tune_ornament

AXE = Axe()
OPTIONS = {"resultTypes": ["violations"], "rules": {"target-size": {"enabled": True}}}
DRILL = scene.asked(scene.DRILLS[0])
PATIENCE_MS = 30_000
"""For the simulated practice of a year, which is made when it is first looked at."""
THEMES: tuple[Literal["light"], Literal["dark"]] = ("light", "dark")
SIZES = [(1280, 800), (390, 844)]
Scene = Callable[[StandIn, Open], Page]
TUNE_LADDER = {
    "climbs": "width",
    "phase": "climbing",
    "in_a_row": 3,
    "row": 1,
    "tries_left": 4,
    "said": "Wider: bar 2.",
    "full_row": "on to part 1",
    "no_row": "back to the ornament in bar 2 by itself",
    "whole": "",
    "rungs": [
        {"words": "the ornament in bar 2 by itself", "here": False, "held": True},
        {"words": "bar 2", "here": True, "held": False},
    ],
}


def found(page: Page) -> list[str]:
    """What axe-core finds, a line each: the rule, the element, and why."""
    broken = AXE.run(page, options=OPTIONS).response["violations"]
    return [f"{one['id']}: {node['html'][:200]}: {node['failureSummary']}" for one in broken for node in one["nodes"]]


def first(_: StandIn, open_page: Open) -> Page:
    """Before the first run."""
    return open_page()


def proposed(stand_in: StandIn, open_page: Open) -> Page:
    """Before a run, with what to practise today."""
    stand_in.proposing.lines = [*LINES]
    stand_in.proposing.done = ["grip from B to C"]
    page = open_page()
    expect(page.locator("#today")).to_be_visible()
    return page


def running(stand_in: StandIn, open_page: Open) -> Page:
    """A run in which everything happens: wrong, missing and extra notes, a crushed step, a rest."""
    stand_in.one["practice"] = scene.practice(DRILL, scene.dozen(DRILL, 60))
    page = open_page()
    expect(page.locator("#verdict")).not_to_be_empty()
    return page


def faulty(stand_in: StandIn, open_page: Open) -> Page:
    """A rep with its details open."""
    rep = scene.crushed(scene.with_extras(scene.rep(DRILL, 60, 0)), 0)
    stand_in.one["practice"] = scene.practice(DRILL, [rep])
    page = open_page()
    page.locator("#rep-details").press("Enter")
    expect(page.locator("#rep-detail")).to_be_visible()
    return page


def asking(stand_in: StandIn, open_page: Open) -> Page:
    """The player is asked what they heard."""
    practice = scene.practice(DRILL, scene.dozen(DRILL, 60)[:4])
    practice["feedback"] = {
        **scene.FEEDBACK,
        "schedule": "say first",
        "live": False,
        "withheld": [3],
        "ask": 3,
        "said": "Rep 4?",
    }
    stand_in.one["practice"] = practice
    page = open_page()
    expect(page.locator("#guess")).to_be_visible()
    return page


def ended(stand_in: StandIn, open_page: Open) -> Page:
    """After a run, with what a teacher would write."""
    page = running(stand_in, open_page)
    stand_in.send({**ENDED, "remarks": MANY})
    expect(page.locator("#run-summary")).to_be_visible()
    for folded in page.locator("#run-summary details").all():
        folded.locator("summary").press("Enter")
    return page


def climbing(stand_in: StandIn, open_page: Open) -> Page:
    """A tempo ladder, with two clicks to the beat."""
    practice = scene.practice(DRILL, scene.dozen(DRILL, 64), 64.0)
    practice["ladder"] = scene.ladder()
    stand_in.one["practice"] = practice
    page = open_page()
    page.locator("#to-beat").select_option("2")
    expect(page.locator("#climb")).to_be_visible()
    return page


def panels(_: StandIn, open_page: Open) -> Page:
    """The settings, then the ladder's rule in their place."""
    page = open_page()
    page.locator("#settings-now").press("Enter")
    assert found(page) == []
    page.locator("#ladder-now").press("Enter")
    return page


def choosing(_: StandIn, open_page: Open) -> Page:
    """The list of drills."""
    page = open_page()
    page.locator("#title").click()
    expect(page.locator("#drills li").first).to_be_visible()
    page.keyboard.press("ArrowDown")
    return page


def noticed(stand_in: StandIn, open_page: Open) -> Page:
    """Everything that can be said above a view at once, a plan among it."""
    stand_in.one["practice"] = scene.practice(DRILL, scene.dozen(DRILL, 60))
    page = open_page()
    stand_in.send(
        {"kind": "session", "seat": "one", "session": planning.session(reminder="Pause and rest your hands.")}
    )
    chanter = {**scene.chanter(), "state": "gone", "said": "The chanter was unplugged; plug it in again."}
    stand_in.send({"kind": "chanter", "seat": "one", "chanter": chanter})
    stand_in.send({"kind": "history", "history": {"kept": False, "said": "The disk is full."}})
    stand_in.send({"kind": "error", "said": "Internal error: practice stopped. Your reps are saved."})
    page.evaluate("for (const one of document.querySelectorAll('#notices .notice:not(#elsewhere)')) one.hidden = false")
    return page


def view(name: str, ready: str) -> Scene:
    """A view, once that part of it is there."""

    def shown(stand_in: StandIn, open_page: Open) -> Page:
        stand_in.proposing.lines = [*LINES]
        page = open_page()
        page.clock.set_fixed_time(TODAY)
        page.evaluate("name => { location.hash = name; }", name)
        expect(page.locator(ready).first).to_be_visible(timeout=PATIENCE_MS)
        page.wait_for_load_state("networkidle")
        return page

    return shown


def taken_apart(stand_in: StandIn, open_page: Open) -> Page:
    """A recording with the list of its ornaments, one of them picked."""
    page = view("listen", "#listen h1")(stand_in, open_page)
    page.route("**/api/listen?*", lambda route: route.fulfill(json=FOUND))
    page.locator("#listen-file").set_input_files(LESSON)
    expect(page.locator("#take-ornaments [role=option]").first).to_be_visible()
    return page


def tune_followed(stand_in: StandIn, open_page: Open) -> Page:
    """A tune was noticed while somebody just plays: its music, marks, and the last ornament large."""
    page = view("listen", "#listen h1")(stand_in, open_page)
    stand_in.send(run_of_tune())
    stand_in.send(dict(tune_ornament(6, clean=False, said="You crushed the G gracenote: 9 ms, too short to hear.")))
    expect(page.locator("#listen-strip .bar").first).to_be_visible()
    expect(page.locator("#listen-music .mark").first).to_be_visible()
    return page


def tune_on_ladder(stand_in: StandIn, open_page: Open) -> Page:
    """A passage on a ladder that widens it: the strip of its last ornament, and the rungs."""
    page = view("tunes/seven-gulls", "#tune-parts svg")(stand_in, open_page)
    stand_in.send(run_of_tune(noticed=False, ladder=TUNE_LADDER))
    stand_in.send(dict(tune_ornament(6)))
    expect(page.locator("#tune-rungs li")).to_have_count(2)
    expect(page.locator("#tune-strip .bar").first).to_be_visible()
    return page


def elsewhere(stand_in: StandIn, open_page: Open) -> Page:
    """A run goes on while the book is shown."""
    stand_in.one["practice"] = scene.practice(DRILL, scene.dozen(DRILL, 60))
    return view("book", "#ornaments [role=option]")(stand_in, open_page)


def past_run(stand_in: StandIn, open_page: Open) -> Page:
    """A run of the history, and the question before it is deleted."""
    page = view("history", "#history svg")(stand_in, open_page)
    page.get_by_role("button", name="Delete").first.press("Enter")
    return page


def entry(stand_in: StandIn, open_page: Open) -> Page:
    """An ornament of the book, with how it sounds."""
    page = view("book/grip", "#way-staff svg, #way-reason")(stand_in, open_page)
    page.locator("#hear-how summary").press("Enter")
    return page


def sheet(stand_in: StandIn, open_page: Open) -> Page:
    """The dialog of the sheet."""
    page = view("book/grip", "#way-sheet")(stand_in, open_page)
    page.locator("#way-sheet").click()
    page.locator("#sheet-open").click()
    expect(page.locator("#sheet")).to_be_visible()
    return page


def editing(stand_in: StandIn, open_page: Open) -> Page:
    """A plan that is being made, with mistakes in it, and then the question whether to throw it away."""
    wrong = [("file", "name"), ("part 1", "drill"), ("part 2", "top_bpm"), ("part 1", "warm_up"), ("file", "")]
    refused = {"said": "No.", "mistakes": [{"where": one, "field": field, "said": "No."} for one, field in wrong]}

    def refuse(route: Route) -> None:
        # Answered as a success would be, or the browser complains on its console.
        route.fulfill(status=422, body=json.dumps(refused), content_type="application/json")

    page = view("plans", ".plan")(stand_in, open_page)
    page.route("**/api/plans", refuse)
    page.locator("#plan-new").press("Enter")
    page.locator("[data-act=add]").press("Enter")
    page.locator("#part-1-how").select_option("ladder")
    page.locator("#plan-edit [type=submit]").press("Enter")
    expect(page.locator("#plan-name-wrong")).to_be_visible()
    assert found(page) == []
    page.locator("[data-act=remove]").first.press("Enter")
    page.locator("[data-act=cancel]").press("Enter")
    return page


def dialog(opener: str) -> Scene:
    """A dialog over the practice view."""

    def shown(stand_in: StandIn, open_page: Open) -> Page:
        page = first(stand_in, open_page)
        page.locator(opener).click()
        expect(page.locator("dialog[open]")).to_be_visible()
        page.wait_for_load_state("networkidle")
        return page

    return shown


def players(stand_in: StandIn, open_page: Open) -> Page:
    """Who is playing, and the question before somebody is deleted."""
    page = dialog("#players-open")(stand_in, open_page)
    page.locator("#player-delete").click()
    return page


def help_page(_: StandIn, open_page: Open) -> Page:
    """The page's own help."""
    return open_page(path="help/")


def wall(_: StandIn, open_page: Open) -> Page:
    """The class wall, before a class."""
    return open_page(path="wall/")


def away(stand_in: StandIn, open_page: Open) -> Page:
    """The daemon has gone."""
    page = running(stand_in, open_page)
    stand_in.stop()
    expect(page.locator("#away")).to_be_visible()
    return page


SCENES: dict[str, Scene] = {
    "before the first run": first,
    "with a proposal": proposed,
    "running": running,
    "details of a rep": faulty,
    "asked what was heard": asking,
    "after a run": ended,
    "on a ladder": climbing,
    "settings and rule": panels,
    "the drill's list": choosing,
    "all notices": noticed,
    "a run goes on elsewhere": elsewhere,
    "just play": view("listen", "#listen h1"),
    "a recording taken apart": taken_apart,
    "a tune followed while just playing": tune_followed,
    "a passage on a ladder": tune_on_ladder,
    "the book": view("book", "#ornaments [role=option]"),
    "an ornament": entry,
    "the sheet": sheet,
    "the tunes": view("tunes", "#tunes-list a"),
    "a tune": view("tunes/seven-gulls", "#tune-parts svg"),
    "the plans": view("plans", ".plan"),
    "a plan is made": editing,
    "progress": view("progress", "#progress svg"),
    "the report": view("report", "#report svg, #report table"),
    "the history": view("history", "#history svg"),
    "a past run": past_run,
    "diagnostics": view("diagnostics", "#diagnostics-daemon td"),
    "set-up": dialog("#setup-open"),
    "players": players,
    "help": help_page,
    "the wall": wall,
    "the daemon is away": away,
}


@pytest.mark.parametrize("name", SCENES)
def test_axe_core_finds_nothing(stand_in: StandIn, open_page: Open, complaints: list[str], name: str) -> None:
    """Light and dark, on a screen and on a phone."""
    page = SCENES[name](stand_in, open_page)
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        for theme in THEMES:
            page.emulate_media(color_scheme=theme, reduced_motion="reduce")
            page.wait_for_timeout(50)
            assert found(page) == [], (width, theme)
    if not stand_in.running:  # or the page goes on looking for it
        stand_in.start()
        expect(page.locator("#away")).to_be_hidden()
    complaints.clear()  # what is refused or gone is so on purpose here


def test_the_check_itself_finds_what_is_wrong(open_page: Open) -> None:
    """A field without a label is found; otherwise nothing would be found anywhere, and nobody would know."""
    page = open_page()
    page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    assert any(line.startswith("label:") for line in found(page))
