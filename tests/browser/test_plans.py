"""Plans on the page: the list, and the bar of the one that is gone through."""

from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser import planning
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn, eventually


def at(stand_in: StandIn, **now: Any) -> None:
    """Tell where the plan stands."""
    stand_in.send({"kind": "session", "seat": "one", "session": planning.session(**now)})


def texts(page: Page, *ids: str) -> list[str]:
    """What these say now."""
    return [page.locator(f"#session-{each}").inner_text() for each in ids]


def test_the_list_tells_what_a_plan_holds(open_page: Open, stand_in: StandIn) -> None:
    """Name, sentence, and each part with its drill, how long and how fast; a warm-up is marked by a word."""
    page = open_page()
    page.locator("nav a", has_text="Plans").click()
    parts = page.locator(".plan li")
    expect(parts).to_have_count(3)
    expect(parts.nth(0)).to_contain_text("Warm-up: one finger")
    expect(parts.nth(0)).to_contain_text("G gracenote from C to low A, 3 minutes at 60")
    expect(parts.nth(2)).to_contain_text("ladder 60 to 80, 3 in a row")
    expect(parts.nth(2)).not_to_contain_text("at 60")
    assert stand_in.asked == []


@pytest.mark.parametrize("fits", [True, False])
def test_a_plan_that_cannot_be_used_says_why_and_can_be_mended_or_deleted(inside: Inside, fits: bool) -> None:  # noqa: FBT001
    """It is not started or copied; one that the form cannot open is only deleted there. What a file says is escaped."""
    said = "The plan 'Mine' cannot be used: The tune '<b>' is not there."
    plan = {**planning.PLAN, "key": "mine", "own": True, "parts": [], "trouble": said, "can_change": fits}
    card = inside("plans/plans.js", "(m, plan) => m.listed([plan]).text", plan)
    assert ("is not there" in card, "<b>'" in card) == (True, False)
    buttons = [f"data-{what}=" in card for what in ("change", "delete", "plan", "copy")]
    assert buttons == [fits, True, False, False]


@pytest.mark.parametrize(("name", "marked"), [("Warm-up: one finger", 0), ("One finger", 1)])
def test_a_warm_up_is_marked_once(inside: Inside, name: str, marked: int) -> None:
    """By a word beside its name, if its name does not say so already."""
    plan = {**planning.PLAN, "parts": [{**planning.PLAN["parts"][0], "name": name}]}
    assert inside("plans/plans.js", "(m, plan) => m.listed([plan]).text", plan).count('class="tag"') == marked


def test_a_plan_is_started_with_the_keyboard(open_page: Open, stand_in: StandIn) -> None:
    """Enter on its button asks for it, and the practice view is shown."""
    page = open_page()
    page.locator("nav a", has_text="Plans").press("Enter")
    page.locator(".plan .go").press("Enter")
    eventually(stand_in, lambda asked: asked == [("POST", "session", {"seat": "one", "plan": "lighthouse"})])
    expect(page.locator("#practise")).to_be_visible()


def test_the_bar_tells_where_the_plan_is(open_page: Open, stand_in: StandIn) -> None:
    """Which part of how many, what is left by reps or by time, and what comes next; it is there in every view."""
    page = open_page()
    expect(page.locator("#session")).to_be_hidden()
    at(stand_in)
    expect(page.locator("#session-left")).to_have_text("7 of 12 reps")
    assert texts(page, "place", "then") == ["2 of 3", "then: grip from B to C"]
    at(stand_in, part=0, left_s=65, reps_wanted=None)
    expect(page.locator("#session-left")).to_have_text("1:05 left")
    at(stand_in, part=2, left_s=5, state="between")
    expect(page.locator("#session-left")).to_have_text("begins in 5")
    expect(page.locator("#session-then")).to_have_text("then it is done")
    page.locator("nav a", has_text="Book").click()
    expect(page.locator("#session-left")).to_be_visible()


def test_a_break_says_how_long_and_can_be_ended(open_page: Open, stand_in: StandIn) -> None:
    """The break's own sentence, its clock, and a button that says what it does."""
    page = open_page()
    at(stand_in, state="break", part=1, left_s=272, said="A break of 5 minutes: rest your hands and your ears.")
    expect(page.locator("#session-said")).to_contain_text("rest your hands")
    assert texts(page, "left", "then", "skip") == ["4:32 left", "then: Build the grip up", "End the break"]


def test_pause_go_on_skip_and_stop(open_page: Open, stand_in: StandIn) -> None:
    """Each button asks for what it says; Pause becomes Go on."""
    page = open_page()
    at(stand_in)
    expect(page.locator("#session-pause")).to_be_visible()  # a key pressed on what is still hidden goes nowhere
    page.locator("#session-pause").press("Enter")
    eventually(stand_in, lambda asked: [one[:2] for one in asked[-1:]] == [("POST", "session/pause")])
    at(stand_in, paused=True)
    expect(page.locator("#session-pause")).to_have_text("Go on")
    page.locator("#session-pause").press("Enter")
    eventually(stand_in, lambda asked: [one[:2] for one in asked[-1:]] == [("POST", "session/go-on")])
    page.locator("#session-skip").press("Enter")
    eventually(stand_in, lambda asked: [one[:2] for one in asked[-1:]] == [("POST", "session/skip")])
    page.locator("#session-stop").press("Enter")
    eventually(stand_in, lambda asked: [one[:2] for one in asked[-1:]] == [("DELETE", "session")])


def test_a_plan_that_is_done_says_so_until_it_is_closed(open_page: Open, stand_in: StandIn) -> None:
    """Its last sentence stays, nothing is left to pause, and Close takes it away."""
    page = open_page()
    at(stand_in, state="done", part=2, said="'An evening in the lighthouse' is done. Rest your hands and your ears.")
    expect(page.locator("#session-said")).to_contain_text("is done")
    expect(page.locator("#session-pause")).to_be_hidden()
    page.locator("#session-close").click()
    expect(page.locator("#session")).to_be_hidden()


def test_a_plan_that_begins_again_leads_to_where_it_is_played(open_page: Open, stand_in: StandIn) -> None:
    """Also where the bar of the one that was stopped was not closed."""
    page = open_page()
    at(stand_in)
    expect(page.locator("#session-pause")).to_be_visible()
    at(stand_in, state="stopped")
    expect(page.locator("#session-close")).to_be_visible()
    page.locator("nav a", has_text="Tunes").click()
    expect(page.locator("#tunes")).to_be_visible()
    at(stand_in)
    expect(page.locator("#practise")).to_be_visible()


def test_a_reminder_is_told_beside_what_is_played(open_page: Open, stand_in: StandIn) -> None:
    """A break that is overdue in a long part is said in words."""
    page = open_page()
    at(stand_in, reminder="You have played for 31 minutes: pause and rest your hands and ears.")
    expect(page.locator("#session-said")).to_contain_text("31 minutes")


@pytest.mark.parametrize(("width", "height"), [(390, 844), (1280, 800), (1920, 1080)])
def test_the_bar_leaves_the_page_as_wide_as_the_screen(
    open_page: Open, stand_in: StandIn, width: int, height: int
) -> None:
    """Nothing is cut off at the side, and on a wide screen nothing below."""
    page = open_page(width, height)
    at(stand_in)
    expect(page.locator("#session")).to_be_visible()
    wide, high = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    assert wide <= width
    assert high <= height or width < 1000


def test_seconds_are_shown_as_a_clock_does(inside: Inside) -> None:
    """Minutes and two digits of seconds."""
    told = inside("plans/words.js", "(m, all) => all.map(m.clockWords)", [0, 5, 59, 60, 605])
    assert told == ["0:00", "0:05", "0:59", "1:00", "10:05"]
