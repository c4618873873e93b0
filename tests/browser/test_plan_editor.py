"""Plans made, changed, put in order and deleted on the page, with the real daemon behind it."""

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from chanterd.practice.plans.shelf import FORM
from tests.browser.conftest import Inside
from tests.browser.real_daemon import looking
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import served

TABLE: dict[str, Any] = {
    "name": "Monday",
    "said": "Short.",
    "breaks": {"after_minutes": 20, "minutes": 4},
    "part": [
        {"drill": "birl from E", "click_bpm": 60, "minutes": 2, "warm_up": True},
        {"drill": "grip from B to C", "stages": True, "click_bpm": 56, "reps": 12, "standard": "learner"},
        {"title": "Up", "drill": "grip from B to C", "ladder": {"first_bpm": 60, "top_bpm": 80}},
    ],
}
PASSAGES: list[dict[str, Any]] = [
    {"tune": "seven-gulls", "from": 0, "to": 9, "click_bpm": 60, "reps": 4, "feedback": "after five"},
    {"tune": "seven-gulls", "ornament": 5, "width": "bar", "stage": 1, "click_bpm": 60, "minutes": 2},
    {"tune": "seven-gulls", "ornament": 5, "stages": True, "click_bpm": 60, "reps": 2},
    {"tune": "seven-gulls", "click_bpm": 60, "widen": {"in_a_row": 3}},
]
RULE = {"first_bpm": 60, "raise_bpm": 4, "in_a_row": 3, "top_bpm": 80, "tries": 5, "performing_bpm": None}


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The data folder."""
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="module")
def daemon(data: Path) -> Iterator[str]:
    """The address of a daemon with one chanter."""
    with served(data, [HandSource()]) as (address, _):
        yield address


@pytest.fixture
def page(browser: Browser, daemon: str, data: Path) -> Iterator[Page]:
    """The view of plans; a plan of an earlier test is gone. Refusals are no faults of the page."""
    console: list[str] = []
    with looking(browser, daemon, console=console) as page:
        page.locator("nav a", has_text="Plans").click()
        expect(page.locator(".plan").first).to_be_visible()
        yield page
        while page.locator("[data-delete]").count():
            page.locator("[data-delete]").first.press("Enter")
            page.locator("[data-gone]").press("Enter")
            expect(page.locator("[data-gone]")).to_have_count(0)
    assert [said for said in console if "422" not in said] == []
    assert list((data / "plans").glob("*.toml")) == []


def field(page: Page, part: int, name: str) -> Any:
    """A field of a part, by the part's own number."""
    return page.locator(f"#part-{part}-{name}")


def make(page: Page, name: str = "Monday") -> None:
    """A new plan with that name and one drill, up to Save, with the keyboard alone."""
    page.locator("#plan-new").press("Enter")
    expect(page.locator("#plan-name")).to_be_focused()
    page.keyboard.type(name)
    page.keyboard.press("Tab")
    page.keyboard.type("Short.")
    field(page, 0, "drill").focus()
    page.keyboard.type("birl from E")
    page.keyboard.press("Enter")


def save(page: Page) -> None:
    """Press Save."""
    page.locator("#plan-edit [type=submit]").press("Enter")


def written(data: Path, key: str = "monday") -> dict[str, Any]:
    """What is in its file."""
    return tomllib.loads((data / "plans" / f"{key}.toml").read_text(encoding="utf-8"))


def test_a_plan_is_made_with_the_keyboard_alone(page: Page, data: Path) -> None:
    """Typed drills are found as on the practice view; the file is one that a teacher could have written."""
    make(page)
    page.locator("[data-act=add]").press("Enter")
    expect(field(page, 1, "drill")).to_be_focused()
    page.keyboard.type("grip from B to C")
    expect(page.locator("#part-1-drills [role=option]").first).to_contain_text("grip from ")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    field(page, 1, "how").select_option("ladder")
    field(page, 1, "ladder-top_bpm").fill("72,5")
    save(page)
    expect(page.locator("#plans-status")).to_have_text("“Monday” is saved.")
    expect(page.locator("[data-plan=monday]")).to_be_focused()
    table = written(data)
    assert table["part"][0] == {"warm_up": True, "drill": "birl from E", "click_bpm": 60, "minutes": 3}
    assert table["part"][1]["drill"] == "grip from B to C"
    assert table["part"][1]["ladder"] == {"first_bpm": 60, "raise_bpm": 4, "top_bpm": 72.5, "in_a_row": 3, "tries": 5}


def test_every_mistake_is_beside_its_field(page: Page, data: Path) -> None:
    """All at once, in sentences; the first field that is wrong has the focus, and what was typed stays."""
    page.locator("#plan-new").press("Enter")
    field(page, 0, "drill").fill("gripp from B to C")
    field(page, 0, "minutes").fill("99")
    field(page, 0, "warm_up").uncheck()
    field(page, 0, "click_bpm").fill("fast")
    page.locator('summary[data-summary="0"]').press("Enter")
    save(page)
    expect(page.locator("#plan-name")).to_be_focused()
    for name, said in {
        "plan-name": "'Name' is ''; it must be some text.",
        "part-0-minutes": "'Minutes' is 99; it must be a number from 0.25 to 25.",
        "part-0-click_bpm": "'Clicks a minute' is 'fast'; it must be a number from 20 to 300.",
        "part-0-warm_up": "The first part is no warm-up; tick it, or move one there.",
    }.items():
        wrong = page.locator(f"#{name}-wrong")
        expect(wrong).to_have_text(said)
        expect(wrong).to_be_visible()
        assert f"{name}-wrong" in str(page.locator(f"#{name}").get_attribute("aria-describedby"))
    expect(page.locator("#part-0-drill-wrong")).to_contain_text("Did you mean 'grip'?")
    expect(field(page, 0, "drill")).to_have_value("gripp from B to C")
    expect(page.locator("#plans-status")).to_have_text("Not saved yet: 6 things need mending.")
    assert not list((data / "plans").glob("*.toml")) if (data / "plans").exists() else True
    page.locator("[data-act=cancel]").press("Enter")
    page.locator("[data-act=away]").press("Enter")


def test_parts_are_put_in_order_by_buttons_and_by_keys(page: Page, data: Path) -> None:
    """The focus goes with the part, so that it can be moved on; the place is said. At an end nothing moves."""
    make(page)
    for number, drill in ((1, "grip from B to C"), (2, "throw on D from low A")):
        page.locator("[data-act=add]").press("Enter")
        field(page, number, "drill").fill(drill)
        page.keyboard.press("Tab")
    up = page.locator('[data-act=up][data-part="2"]')
    up.press("Enter")
    expect(page.locator("#plans-status")).to_have_text("Now part 2 of 3.")
    expect(up).to_be_focused()
    field(page, 2, "title").focus()
    page.keyboard.press("Alt+ArrowDown")
    expect(page.locator("#plans-status")).to_have_text("Now part 3 of 3.")
    expect(field(page, 2, "title")).to_be_focused()
    page.keyboard.press("Alt+ArrowDown")
    expect(page.locator("#plans-status")).to_have_text("Now part 3 of 3.")
    page.keyboard.press("Alt+ArrowUp")
    save(page)
    expect(page.locator("[data-plan=monday]")).to_be_focused()
    assert [part["drill"] for part in written(data)["part"]] == [
        "birl from E",
        "throw on D from low A",
        "grip from B to C",
    ]


def test_a_part_that_was_removed_can_be_brought_back(page: Page, data: Path) -> None:
    """One press does no harm."""
    make(page)
    page.locator('[data-act=remove][data-part="0"]').press("Enter")
    expect(page.locator(".part")).to_have_count(0)
    page.locator("[data-act=back]").press("Enter")
    expect(field(page, 0, "drill")).to_have_value("birl from E")
    save(page)
    expect(page.locator("[data-plan=monday]")).to_be_focused()
    assert len(written(data)["part"]) == 1


def test_a_plan_is_changed_and_copied_and_what_ships_only_copied(page: Page, data: Path) -> None:
    """Its own file changes; the copy has a name and a file of its own."""
    make(page)
    save(page)
    page.locator("[data-change=monday]").press("Enter")
    page.locator("#plan-said").fill("Longer.")
    save(page)
    expect(page.locator(".plan", has_text="Longer.")).to_be_visible()
    assert written(data)["said"] == "Longer."
    expect(page.locator("[data-change=lighthouse-class], [data-delete=lighthouse-class]")).to_have_count(0)
    page.locator("[data-copy=lighthouse-class]").press("Enter")
    expect(page.locator("#plan-name")).to_have_value("Copy of Lighthouse class: first grips")
    save(page)
    expect(page.locator("[data-plan=copy-of-lighthouse-class-first-grips]")).to_be_focused()
    shipped = tomllib.loads(Path("configs/plans/lighthouse-class.toml").read_text(encoding="utf-8"))
    assert written(data, "copy-of-lighthouse-class-first-grips")["part"] == shipped["part"]


def test_nothing_is_deleted_or_thrown_away_without_a_question(page: Page, data: Path) -> None:
    """The harmless answer has the focus; what is typed waits while another view is shown."""
    make(page)
    page.locator("nav a", has_text="Book").click()
    page.locator("nav a", has_text="Plans").click()
    expect(page.locator("#plan-name")).to_have_value("Monday")
    page.locator("[data-act=cancel]").press("Enter")
    expect(page.locator("[data-act=keep]")).to_be_focused()
    page.keyboard.press("Enter")
    save(page)
    page.locator("[data-delete=monday]").press("Enter")
    expect(page.locator("[data-keep=monday]")).to_be_focused()
    page.keyboard.press("Enter")
    assert written(data)["name"] == "Monday"
    page.locator("[data-delete=monday]").press("Enter")
    page.locator("[data-gone=monday]").press("Enter")
    expect(page.locator("#plans-status")).to_have_text("“Monday” is deleted.")
    assert not (data / "plans" / "monday.toml").exists()


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_the_form_fits_the_screen(page: Page, width: int) -> None:
    """Nothing is scrolled sideways, with mistakes in it too."""
    page.set_viewport_size({"width": width, "height": 844})
    page.locator("#plan-new").press("Enter")
    field(page, 0, "how").select_option("ladder")
    save(page)
    expect(page.locator("#part-0-drill-wrong")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.locator("[data-act=cancel]").press("Enter")
    page.locator("[data-act=away]").press("Enter")


def test_the_form_calls_its_fields_what_the_daemon_calls_them(inside: Inside) -> None:
    """A sentence about 'Clicks a minute' is about the field of that name."""
    names = inside("plans/words.js", "(m) => m.FIELDS")
    assert {key.replace("breaks.minutes", "break_minutes"): name for key, name in FORM.items()} == {
        key: name for key, name in names.items() if key != "ladder"
    }


def test_a_table_comes_back_from_the_form_as_it_went_in(inside: Inside) -> None:
    """A ladder's fields that are left out stay so; a number is a number again."""
    back = inside("plans/draft.js", "(m, table, rule) => m.tableOf(m.draftOf(table, null, rule))", TABLE, RULE)
    assert back == TABLE
    table = {**TABLE, "part": [*TABLE["part"], *PASSAGES]}
    assert inside("plans/draft.js", "(m, table, rule) => m.tableOf(m.draftOf(table, null, rule))", table, RULE) == table


@pytest.mark.parametrize(
    ("typed", "sent"), [("2,5", 2.5), (" 60 ", 60), ("", ""), ("fast", "fast"), ("1e999", "1e999")]
)
def test_what_is_no_number_is_sent_as_it_is_typed(inside: Inside, typed: str, sent: object) -> None:
    """So the sentence about it can quote it."""
    assert inside("plans/draft.js", "(m, typed) => m.numberOr(typed)", typed) == sent


def add_tune(page: Page) -> None:
    """A second part, of the tune Seven Gulls, with the keyboard alone."""
    page.locator("[data-act=add]").press("Enter")
    expect(field(page, 1, "drill")).to_be_focused()
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("ArrowDown")
    expect(field(page, 1, "plays")).to_be_focused()
    page.keyboard.press("Tab")
    expect(field(page, 1, "tune").locator("option", has_text="Seven Gulls")).to_have_count(1)
    page.keyboard.press("s")
    expect(field(page, 1, "from").locator("option", has_text="bar 2").first).to_be_attached()


def change_second_part(page: Page) -> None:
    """Open the plan again, and its second part."""
    page.locator("[data-change=monday]").press("Enter")
    expect(page.locator("#plan-name")).to_be_focused()
    page.locator('summary[data-summary="1"]').press("Enter")
    expect(field(page, 1, "tune")).to_be_visible()


def test_bars_of_a_tune_are_chosen_with_the_keyboard(page: Page, data: Path) -> None:
    """The file has the notes, the first of the one bar to the last of the other; the form says bars again."""
    make(page)
    add_tune(page)
    field(page, 1, "from").select_option(label="bar 2")
    field(page, 1, "to").select_option(label="bar 3")
    field(page, 1, "how").select_option("reps")
    expect(page.locator('summary[data-summary="1"]')).to_contain_text(
        "Seven Gulls, from bar 2 to bar 3, 20 rounds at 60"
    )
    save(page)
    expect(page.locator("[data-plan=monday]")).to_be_focused()
    expect(page.locator(".plan", has_text="Monday")).to_contain_text("Seven Gulls, bars 2 to 3")
    part = written(data)["part"][1]
    assert (part["tune"], part["reps"]) == ("seven-gulls", 20)
    assert 0 < part["from"] < part["to"]
    change_second_part(page)
    expect(field(page, 1, "from").locator("option:checked")).to_have_text("bar 2")
    page.locator("[data-act=cancel]").press("Enter")
    expect(page.locator("[data-plan=monday]")).to_be_visible()


def test_an_ornament_of_a_tune_is_taken_out_as_wide_as_is_chosen(page: Page, data: Path) -> None:
    """By its name and its bar; without one there is nothing to build up."""
    make(page)
    add_tune(page)
    expect(field(page, 1, "stages")).to_have_count(0)
    field(page, 1, "ornament").select_option(index=1)
    expect(field(page, 1, "from")).to_have_count(0)
    field(page, 1, "width").select_option(label="its bar")
    field(page, 1, "stages").check()
    save(page)
    expect(page.locator("[data-plan=monday]")).to_be_focused()
    part = written(data)["part"][1]
    assert (part["width"], part["stages"], "from" in part) == ("bar", True, False)
    assert part["ornament"] >= 0


def test_a_mistake_in_a_passage_is_beside_its_field(page: Page) -> None:
    """No tune chosen; and a passage that ends before it begins."""
    make(page)
    page.locator("[data-act=add]").press("Enter")
    field(page, 1, "plays").select_option("tune")
    save(page)
    expect(page.locator("#part-1-tune-wrong")).to_contain_text("'Tune' is ''")
    expect(field(page, 1, "tune")).to_be_focused()
    field(page, 1, "tune").select_option("seven-gulls")
    field(page, 1, "from").select_option(label="bar 3")
    field(page, 1, "to").select_option(label="bar 2")
    save(page)
    expect(page.locator("#part-1-from-wrong")).to_contain_text("not end before it begins")
    page.locator("[data-act=cancel]").press("Enter")
    page.locator("[data-act=away]").press("Enter")


def test_a_plan_whose_tune_is_gone_is_mended_in_the_form(page: Page, data: Path) -> None:
    """The tune is shown as one that is not there, and another is chosen in its place."""
    make(page)
    add_tune(page)
    save(page)
    expect(page.locator("[data-plan=monday]")).to_be_focused()
    path = data / "plans" / "monday.toml"
    path.write_text(path.read_text().replace("seven-gulls", "gone"))
    page.locator("nav a", has_text="Book").click()
    page.locator("nav a", has_text="Plans").click()
    expect(page.locator(".plan .wrong")).to_contain_text("The tune 'gone' is not there.")
    change_second_part(page)
    expect(field(page, 1, "tune").locator("option:checked")).to_have_text("gone (not there)")
    field(page, 1, "tune").select_option("seven-gulls")
    save(page)
    expect(page.locator("[data-plan=monday]")).to_be_focused()
    expect(page.locator(".plan .wrong")).to_have_count(0)
