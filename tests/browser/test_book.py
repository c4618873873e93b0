"""The book on the page: found by any name, told why not, practised in one step, and all of it by the keyboard."""

import re
from itertools import pairwise

import pytest
from playwright.sync_api import Page, expect

from chanterd.config import ChanterdError
from chanterd.music.drill import drill_from_words
from tests.browser import scene
from tests.browser.bookshelf import book
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn
from tests.browser.test_page import overflow


def opened(open_page: Open, ornament: str = "grip", width: int = 1280, height: int = 800) -> Page:
    """The book, open at an ornament."""
    page = open_page(width, height)
    page.evaluate("(name) => { location.hash = `#book/${encodeURIComponent(name)}`; }", ornament)
    expect(page.locator("#entry-name")).to_have_text(ornament[0].upper() + ornament[1:])
    return page


def test_an_ornament_is_found_by_another_name(open_page: Open) -> None:
    """A grip is found as leumluath, one of its other names, which stands beside it."""
    page = opened(open_page, "birl")
    page.locator("#find").fill("leumlu")
    found = page.locator("#ornaments [role=option]", has_text="leumluath")
    expect(found).to_have_text("grip leumluath")
    found.click()
    expect(page.locator("#entry-name")).to_have_text("Grip")
    expect(page.locator("#entry-about")).to_contain_text("leumluath")
    page.locator("#find").fill("no such thing")
    expect(page.locator("#found")).to_contain_text("No drill matches 'no such thing'. The nearest are '")


def test_every_name_in_the_book_finds_its_ornament(inside: Inside) -> None:
    """Typing any name of any ornament lists that ornament; capitals and hyphens do not matter."""
    ornaments = book()["ornaments"]
    names = [(one["name"], name) for one in ornaments for name in (one["name"], *one["also"])]
    typed = [name.upper().replace("-", " ") for _, name in names]
    body = "(m, all, typed) => typed.map((text) => m.found(all, text).map((one) => one.ornament.name))"
    for (own, name), listed in zip(names, inside("book/find.js", body, ornaments, typed), strict=True):
        assert own in listed, name


def test_all_of_an_ornament_is_told(open_page: Open) -> None:
    """How it should sound, where the beat falls, its spelling and its staff; and nothing of it in shorthand."""
    ornament = next(one for one in book()["ornaments"] if one["disputed"])
    page = opened(open_page, ornament["name"])
    expect(page.locator("#entry-how")).to_have_text(ornament["how"])
    told = page.locator("#entry-about")
    for text in (ornament["beat"], ornament["disputed"], ornament["spellings"][0]["steps"][0]["note"]):
        expect(told).to_contain_text(text)
    expect(page.locator("#way-staff [data-step]").first).to_be_visible()
    expect(page.locator("#ways .can")).to_have_count(len(ornament["ways"]))


def test_a_way_that_is_not_played_tells_why(stand_in: StandIn, open_page: Open, complaints: list[str]) -> None:
    """Picking it shows the daemon's own sentence in the place of the staff; nothing of it can be practised."""
    with pytest.raises(ChanterdError) as refused:
        drill_from_words("grip from C to D")
    page = opened(open_page)
    page.locator("#ways").get_by_label("from C to D, not played").click()
    expect(page.locator("#way-reason")).to_have_text(str(refused.value))
    expect(page.locator("#way-staff")).to_be_hidden()
    expect(page.locator("#way-practise")).to_be_disabled()
    page.locator("#ways").get_by_label("from B to C", exact=True).click()
    expect(page.locator("#way-reason")).to_be_hidden()
    expect(page.locator("#way-staff [data-step]")).to_have_count(5)
    complaints.clear()  # the browser tells of every answer of 422
    assert stand_in.asked == []


@pytest.mark.parametrize(
    ("typed", "name", "way"),
    [
        ("torluath", "Taorluath", None),
        ("C doubling", "Doubling", "doubling from low G to C"),
        ("birl on low A from E", "Birl", "birl from E"),
        ("grips", "Grip", None),
    ],
)
def test_an_ornament_is_found_as_pipers_write_it(open_page: Open, typed: str, name: str, way: str | None) -> None:
    """Misspelt, in the plural, or with its notes: Enter opens it, at the way that was meant."""
    page = opened(open_page, "strike")
    page.locator("#find").fill(typed)
    expect(page.locator("#ornaments [role=option]").first).to_have_text(re.compile(name, re.IGNORECASE))
    page.locator("#find").press("Enter")
    expect(page.locator("#entry-name")).to_have_text(name)
    if way:
        expect(page.locator("#way-name")).to_have_text(way)


def test_the_keyboard_alone_is_enough(stand_in: StandIn, open_page: Open) -> None:
    """From the header to a run of another way in, without a mouse; the space bar starts it at once."""
    page = opened(open_page, "birl")
    page.locator("nav a", has_text="Book").focus()
    for _ in range(12):  # past the other views and the tools of the header
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "find":
            break
    expect(page.locator("#find")).to_be_focused()
    page.keyboard.type("taorluath")
    page.keyboard.press("ArrowDown")
    expect(page.locator("#entry-name")).to_have_text("Taorluath")
    page.keyboard.press("Tab")
    expect(page.locator("#ways [aria-pressed=true]")).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    expect(page.locator("#ways [aria-pressed=true]")).to_be_focused()
    expect(page.locator("#way-name")).to_have_text("taorluath from C to low G")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.locator("#way-practise")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("h1:visible")).to_have_text("Taorluath from C to low G")
    expect(page.locator("#toggle")).to_be_focused()
    expect(page.locator("nav a[aria-current]")).to_have_text("Practise")
    expect(page.locator("#asked-staff [data-step]")).to_have_count(6)
    with page.expect_response("**/api/practice"):
        page.keyboard.press("Space")
    assert [body["drill"] for _, what, body in stand_in.asked if what == "practice"] == ["taorluath from C to low G"]


def test_the_build_up_stands_side_by_side(open_page: Open) -> None:
    """Each stage has its staff, the whole ornament last, and any of them is practised in one click."""
    page = opened(open_page, "taorluath")
    way = next(one for one in book()["ornaments"] if one["name"] == "taorluath")["ways"][0]
    stages = page.locator("#built-stages li")
    expect(stages).to_have_count(len(way["stages"]))
    for index in range(len(way["stages"])):
        expect(stages.nth(index).locator("[data-step='-1']")).to_be_visible()
    stages.first.get_by_text("Practise").click()
    expect(page.locator("#drill")).to_have_value(way["stages"][0])


def test_practice_goes_on_while_the_book_is_open(stand_in: StandIn, open_page: Open) -> None:
    """A rep that is judged meanwhile stands on the practice view when it is looked at again."""
    asked = scene.asked(scene.DRILLS[0])
    stand_in.one["practice"] = scene.practice(asked, [])
    page = opened(open_page)
    rep = scene.crushed(scene.rep(asked, 60, 0), 0)
    counts = {"final": True, "in_a_row": 0, "clean_count": 0, "played_count": 1, "heard_ns": 1, "sent_ns": 1}
    stand_in.send({**rep, "kind": "rep", "seat": "one", **counts})
    page.locator("nav a", has_text="Practise").click()
    expect(page.locator("#verdict")).to_have_text(rep["said"])
    expect(page.locator("#toggle")).to_have_text("Stop")


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080), (390, 844)])
def test_it_is_never_cramped(open_page: Open, width: int, height: int) -> None:
    """Nothing scrolls sideways, every button is at least 24 px large, and no word of the ways runs into another."""
    page = opened(open_page, "doubling", width, height)
    expect(page.locator("#built-stages svg")).to_have_count(2)
    assert overflow(page)[0] == 0
    boxes = page.evaluate(
        """() => [...document.querySelectorAll('#book button, #book input, #book select')]
          .filter((one) => one.checkVisibility()).map((one) => one.getBoundingClientRect())
          .map(({width, height}) => [width, height])"""
    )
    assert len(boxes) > 81
    assert all(wide >= 24 and tall >= 24 for wide, tall in boxes)
    heads = page.evaluate(
        """() => [...document.querySelectorAll('#ways thead span')].map((one) => one.getBoundingClientRect())
          .map(({left, right}) => [left, right])"""
    )
    assert all(one[1] <= other[0] for one, other in pairwise(heads))


def test_a_hostile_staff_stays_a_drawing(inside: Inside) -> None:
    """What is no drawing is left out of a staff: scripts, handlers, links and foreign content."""
    svg = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10" onload="alert(1)"><script>alert(2)</script>
      <foreignObject><b xmlns="http://www.w3.org/1999/xhtml">x</b></foreignObject><a href="javascript:alert(3)"/>
      <g id="s0" data-step="0"><path d="M0 0" onclick="alert(4)"/></g></svg>"""
    kept = inside("ui/staff.js", "(m, text) => m.drawing(text).outerHTML", svg)
    for bad in ("alert", "script", "foreignObject", "<a", "<b", "id=", "on"):
        assert bad not in kept.replace("version", "").replace("xmlns", ""), bad
    assert 'data-step="0"' in kept


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080)])
def test_an_ornament_is_one_screen(open_page: Open, width: int, height: int) -> None:
    """The ornaments that everybody learns need no scrolling, whatever they have of ways, spellings and stages."""
    page = open_page(width, height)
    for ornament in (
        "doubling",
        "half doubling",
        "grip",
        "taorluath",
        "throw on D",
        "birl",
        "shake",
        "thumb shake",
        "crunluath",
    ):
        page.evaluate("(name) => { location.hash = `#book/${encodeURIComponent(name)}`; }", ornament)
        expect(page.locator("#entry-name")).to_have_text(ornament[0].upper() + ornament[1:])
        expect(page.locator("#way-staff svg")).to_be_visible()
        assert overflow(page) == (0, 0), ornament


def test_what_has_no_steps_has_no_spelling(open_page: Open) -> None:
    """A plain change is told without an empty line for it."""
    page = opened(open_page, "change")
    expect(page.locator("#entry-about dt")).to_have_text(["Also called", "The beat falls"])


def test_spellings_say_which_notes_they_are_played_from(inside: Inside) -> None:
    """As a piper reads: what D changes first, the usual one last; melody notes with the same spelling in one line."""
    found = {one["name"]: one["spellings"] for one in book()["ornaments"]}
    assert inside("book/words.js", "(m, all) => m.spellingLines(all)", found["taorluath"]) == [
        (
            "On low G and low A: from D: low G, B gracenote, low G, E gracenote; "
            "from any other note: low G, D gracenote, low G, E gracenote"
        ),
        "On B and C: low G, D gracenote, low G, E gracenote",
    ]
    assert inside("book/words.js", "(m, all) => m.spellingLines(all)", found["doubling"])[0] == (
        "On low G, low A, B and C: G gracenote, the theme note, D gracenote"
    )


def test_the_reason_of_another_spelling_is_told(inside: Inside) -> None:
    """Where a spelling takes the place of one that cannot sound, the note before is not said twice."""
    step = [{"note": "D", "kind": "quick"}]
    usual = {"themes": ["C"], "leads": ["low A", "B"], "since": "", "steps": step}
    other = {**usual, "leads": ["high G"], "since": "from high G the G gracenote cannot sound"}
    assert inside("book/words.js", "(m, all) => m.spellingLines(all)", [usual, other]) == [
        "from high G: D, since the G gracenote cannot sound; from low A and B: D"
    ]


@pytest.mark.parametrize("width", [1280, 1440, 1920])
def test_the_chanter_s_name_is_read_beside_the_sheet(stand_in: StandIn, open_page: Open, width: int) -> None:
    """The sheet's button, which only the book has, does not cut a short name to a letter."""
    stand_in.one["chanter"]["input"] = "demo"
    page = open_page(width, 800, path="#book/grip")
    expect(page.locator("#sheet-open")).to_be_visible()
    expect(page.locator("#chanter-name")).to_have_text("demo")
    name = page.locator("#chanter-name")
    assert name.evaluate("(one) => one.scrollWidth <= one.clientWidth + 1")
