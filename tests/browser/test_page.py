"""The page as a whole: it fits, it can be reached, it can be read across a room, and it trusts no text."""

import re
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn

HOSTILE = "<img src=x onerror=alert(1)>\"'&<script>alert(2)</script>"


def run_of(number: int = 2) -> Any:
    """A run in progress with twelve reps."""
    asked = scene.asked(scene.DRILLS[number])
    return scene.practice(asked, scene.dozen(asked, 60))


def overflow(page: Page) -> tuple[int, int]:
    """How far the page can be scrolled, to the right and down, in pixels."""
    right, down = page.evaluate(
        """(({scrollWidth, scrollHeight}) => [scrollWidth - innerWidth, scrollHeight - innerHeight])
          (document.documentElement)"""
    )
    return right, down


def bottom(page: Page, selector: str) -> float:
    """Where an element ends, from the top of the page."""
    box = page.locator(selector).bounding_box()
    assert box
    return box["y"] + box["height"]


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080)])
def test_one_screen_without_scrolling(stand_in: StandIn, open_page: Open, width: int, height: int) -> None:
    """At 1280 by 800 and 1920 by 1080 nothing has to be scrolled, idle or in a run, with a notice up or without."""
    page = open_page(width, height)
    for practice in (None, run_of()):
        stand_in.send({"kind": "grid", "seat": "one", "practice": practice})
        for state in ("ready", "gone", "no driver"):
            said = f"It is {state}. Plug it in again, or choose another input; what was heard until now is kept."
            chanter = {**scene.chanter(), "state": state, "said": said}
            stand_in.send({"kind": "chanter", "seat": "one", "chanter": chanter})
            if state != "ready":
                expect(page.locator("#unready span" if practice else "#empty p")).to_have_text(said)
            assert overflow(page) == (0, 0)
            assert bottom(page, "footer") <= height


def test_a_phone_shows_the_main_things_first(stand_in: StandIn, open_page: Open) -> None:
    """At 390 by 844 start and stop, the strip and the verdict are on the first screen, and nothing scrolls sideways."""
    stand_in.one["practice"] = run_of()
    page = open_page(390, 844)
    expect(page.locator("#verdict")).not_to_be_empty()
    assert overflow(page)[0] == 0
    for part in ("#toggle", "#strip", "#verdict"):
        assert bottom(page, part) <= 844, part


def test_a_view_is_shown_from_its_top(open_page: Open) -> None:
    """Also if it is shown already: the link leads to the top of the page, not past the header."""
    page = open_page(390, 500)
    page.locator("nav a", has_text="Practise").click()
    expect(page).to_have_url(re.compile("#practise$"))
    page.wait_for_function(
        "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))"
    )
    assert page.evaluate("scrollY") == 0


def test_a_phone_shows_what_is_played_when_a_run_begins(stand_in: StandIn, open_page: Open) -> None:
    """Beside a ladder there is more than one screen: starting brings strip, verdict and stop on it."""
    page = open_page(390, 844)
    running = run_of()
    running["ladder"] = scene.ladder()
    page.locator("#toggle").click()
    stand_in.send({"kind": "grid", "seat": "one", "practice": running})
    expect(page.locator("#climb")).to_be_visible()
    expect(page.locator("#verdict")).to_be_in_viewport(ratio=1)
    expect(page.locator("#strip")).to_be_in_viewport(ratio=1)
    expect(page.locator("#toggle")).to_be_in_viewport(ratio=1)


@pytest.mark.parametrize("view", ["practise", "book"])
def test_the_header_of_a_phone_is_three_lines(open_page: Open, view: str) -> None:
    """The views stand in one line, the buttons in another, each with all of its words and none beyond the screen."""
    page = open_page(390, 844, f"#{view}")
    expect(page.locator("#chanter-name")).to_have_attribute("data-ready", "")
    for parts in ("nav a", ".tools button:not([hidden])"):
        found = page.locator(parts).evaluate_all(
            """all => all.map(it => [it, it.getBoundingClientRect()])
              .map(([it, {y, right}]) => [y, right, it.scrollWidth - it.clientWidth])"""
        )
        assert len({y for y, _, _ in found}) == 1, found
        assert all(right <= 390 and cut <= 0 for _, right, cut in found), found


def test_how_the_chanter_is_always_shows(stand_in: StandIn, open_page: Open) -> None:
    """However long its name and however many buttons there are; and nothing 'sounds silent'."""
    stand_in.one["chanter"].update(
        {"input": "A chanter with a long name on port 3:0", "state": "gone", "sounding": None}
    )
    page = open_page(path="#book")
    state = page.locator("#chanter-state")
    expect(state).to_have_text("unplugged")
    assert state.evaluate("it => it.scrollWidth <= it.clientWidth && it.getBoundingClientRect().width > 60")
    expect(page.locator(".sounding")).to_have_text("silent", use_inner_text=True)
    page.evaluate("location.hash = '#practise'")
    stand_in.send({"kind": "note", "seat": "one", "note": "B", "at_ns": 1, "onset_ms": None})
    expect(page.locator(".sounding")).to_have_text("sounds B", use_inner_text=True)


def test_text_can_be_read_from_the_back_row(stand_in: StandIn, open_page: Open) -> None:
    """On a picture 1080 pixels high, capitals of 43 px are read from four picture heights.

    10 mm of letter height a metre of distance (a design handbook's rule); capitals are about 0.7 of the type size.
    """
    stand_in.one["practice"] = run_of(0)
    page = open_page(1920, 1080)
    page.locator("#strip .number").first.wait_for()
    sizes = page.evaluate(
        """() => ['#ornament', '#verdict', '#tempo', '#strip .number']
          .map((one) => parseFloat(getComputedStyle(document.querySelector(one)).fontSize))"""
    )
    assert all(size * 0.73 >= 43 for size in sizes), sizes


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (390, 844)])
def test_targets_are_large_enough(stand_in: StandIn, open_page: Open, width: int, height: int) -> None:
    """WCAG 2.2, 2.5.8: whatever can be pressed is at least 24 by 24 CSS pixels, in the set-up too."""
    stand_in.one["practice"] = run_of()
    stand_in.one["chanter"]["state"] = "gone"
    page = open_page(width, height)
    page.locator("#stages button").first.wait_for()
    measure = """() => [...document.querySelectorAll('a, button, input, select')].filter((one) => one.checkVisibility())
      .map((one) => [one, one.getBoundingClientRect()])
      .map(([one, box]) => [one.id || one.textContent, box.width, box.height])"""
    found = page.evaluate(measure)
    page.locator("#setup-open").click()
    page.locator("#inputs button").first.wait_for()
    for name, wide, tall in found + page.evaluate(measure):
        assert wide >= 24, name
        assert tall >= 24, name


def test_the_page_is_built_for_those_who_do_not_see_it(open_page: Open) -> None:
    """One h1, the landmarks, a language, a name for every control, and one polite live region in view: the verdict."""
    page = open_page()
    assert page.locator("h1:visible").count() == 1
    for landmark in ("banner", "navigation", "main", "contentinfo"):
        assert page.get_by_role(landmark).count() == 1
    assert page.get_attribute("html", "lang") == "en-GB"
    polite = page.evaluate(
        "[...document.querySelectorAll('[aria-live]')].filter((one) => !one.closest('[hidden]')).map((one) => one.id)"
    )
    assert polite == ["verdict"]
    nameless = page.evaluate(
        """() => [...document.querySelectorAll('input, select, button')].filter((one) =>
          !(one.getAttribute('aria-label') || one.getAttribute('aria-labelledby') || one.textContent.trim()
            || one.labels?.length)).map((one) => one.outerHTML)"""
    )
    assert nameless == []


def test_hostile_text_stays_text(stand_in: StandIn, open_page: Open) -> None:
    """Whatever a port, a drill or a verdict is called, it is shown as it is and never becomes part of the page."""
    rep = scene.faulty(scene.rep(scene.asked(scene.DRILLS[0]), 60, 0), scene.fault(HOSTILE, 0, f"{HOSTILE}."))
    stand_in.one["practice"] = scene.practice(scene.asked(scene.DRILLS[0]), [rep])
    stand_in.one["chanter"].update({"input": HOSTILE, "said": HOSTILE, "profile": HOSTILE, "state": "gone"})
    stand_in.state["standards"][0]["name"] = HOSTILE
    page = open_page()
    expect(page.locator("#verdict")).to_have_text(f"{HOSTILE}.")
    expect(page.locator("#chanter-name")).to_have_text(HOSTILE)
    expect(page.locator("#habit .verdict-word")).to_have_text(HOSTILE)
    page.locator("#setup-open").click()
    page.locator("#inputs button").first.wait_for()
    assert page.locator("img").count() == 0
    assert page.evaluate("[...document.scripts].every((one) => one.src.startsWith(location.origin))")


def test_markup_escapes_by_default(inside: Inside) -> None:
    """html`` escapes each value, once; fill() refuses a bare string."""
    body = "(m, hostile) => m.html`<b title='${hostile}'>${[m.html`<i></i>`, '<']}</b>`.text"
    escaped = inside("ui/html.js", body, HOSTILE)
    assert "<img" not in escaped
    assert escaped.endswith("><i></i>&#60;</b>")
    refused = "(m) => { try { m.fill(document.body, '<b>'); } catch (error) { return error.name; } }"
    assert inside("ui/html.js", refused) == "TypeError"


@pytest.mark.parametrize("what", ['href="#history/1"', 'data-rep="3"', 'id="find"'])
def test_what_is_drawn_again_keeps_the_focus(inside: Inside, what: str) -> None:
    """A link or button that is there again has the focus again; where it is gone, nothing else takes it."""
    body = """(m, what) => {
        const place = document.body.appendChild(document.createElement("div"));
        const markup = (word, more) => m.html([`<a href="#other">x</a><a tabindex="0" ${more}>${word}</a>`]);
        m.fill(place, markup("before", what));
        place.lastChild.focus();
        m.fill(place, markup("after", what));
        const kept = document.activeElement.textContent;
        m.fill(place, markup("gone", ""));
        const left = document.activeElement === document.body;
        place.remove();
        return [kept, left];
    }"""
    assert inside("ui/html.js", body, what) == ["after", True]


def test_nothing_is_fetched_from_elsewhere(stand_in: StandIn, open_page: Open) -> None:
    """The page works offline: every request goes to the daemon."""
    page = open_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    expect(page.locator("#chanter-name")).to_have_text("Kitchen chanter")
    assert asked
    assert all(url.startswith(stand_in.address) for url in asked)


def test_a_refusal_stays_while_the_page_fetches_something_by_itself(inside: Inside) -> None:
    """Only what the player does next takes it away; what is fetched meanwhile may still add its own."""
    said = inside(
        "core/requests.js",
        """async (m) => {
          const { Refused } = await import("/core/api.js");
          const said = [];
          let shown = null;
          const told = m.attempts({ refuse: (why) => (shown = why), draw: () => said.push(shown) });
          const no = async () => { throw new Refused("No."); };
          await told.attempt(no);
          await told.load(async () => {});
          await told.attempt(async () => {});
          await told.load(no);
          return said;
        }""",
    )
    assert said == ["No.", "No.", None, "No."]


@pytest.mark.parametrize("note", ["high A", "low G"])
def test_the_chanters_name_is_there_on_a_small_screen(stand_in: StandIn, open_page: Open, note: str) -> None:
    """Beside all views and buttons at 1280 pixels, and whatever sounds: a name that is cut to a letter is none."""
    stand_in.one["chanter"].update({"input": "Chanter", "sounding": note})
    stand_in.one["player"]["name"] = "Ailsa Player"
    name = open_page(1280, 800).locator("#chanter-name")
    assert name.evaluate("name => name.scrollWidth - name.clientWidth") <= 0
