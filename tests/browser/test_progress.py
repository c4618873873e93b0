"""The progress view, on simulated practice; the day in the browser is the last day of it."""

from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Inside, Open
from tests.browser.practised import ONLY_STAGES
from tests.browser.stand_in import StandIn, eventually
from tests.browser.test_colour import THEMES, WORN, contrast

TODAY = "2026-03-31T18:00:00"
SIZES = [(390, 800), (1280, 800), (1920, 1080)]


@pytest.fixture
def opened(open_page: Open) -> Any:
    """The progress view, drawn: ``opened(width, height, **context options)``."""

    def open_it(width: int = 1280, height: int = 800, **options: Any) -> Page:
        page = open_page(width, height, **options)
        page.clock.set_fixed_time(TODAY)
        page.locator("nav a", has_text="Progress").press("Enter")
        page.locator("#progress[data-drawn]").wait_for()
        return page

    return open_it


def test_a_new_player_is_told_what_will_appear(stand_in: StandIn, open_page: Open) -> None:
    """No empty axes; the way to the first run is one key away."""
    stand_in.practised_days = 0
    page = open_page()
    page.locator("nav a", has_text="Progress").press("Enter")
    empty = page.locator("#progress-empty")
    expect(empty).to_contain_text("Your progress will appear here")
    expect(empty).to_contain_text("fastest tempo you hold clean")
    expect(page.locator("#progress-shown")).to_be_hidden()
    empty.locator("a").press("Enter")
    expect(page.locator("#practise")).to_be_visible()


def test_stages_alone_show_the_days_and_say_what_is_missing(stand_in: StandIn, opened: Any) -> None:
    """A beginner who has only played the first stage has practised."""
    stand_in.practised_days = ONLY_STAGES
    page = opened()
    expect(page.locator("#days-picture .bar")).to_have_count(1)
    expect(page.locator("#one")).to_be_hidden()
    expect(page.locator("#all-ways")).to_contain_text("Only stages of a build-up")
    expect(page.locator("#hand-said")).to_contain_text("Play two families")


def test_each_picture_has_its_figures_as_a_table(opened: Any) -> None:
    """As many rows as points, and the last figure of the picture is the last of the table."""
    page = opened()
    for name in ("days", "tempo", "placement", "hand"):
        page.locator(f"#{name}-figures summary").press("Enter")
        marks = page.locator(f"#{name}-picture {'.bar' if name == 'days' else '.point'}").count()
        assert marks > 3
        assert page.locator(f"#{name}-figures tbody tr").count() == marks
    last = page.locator("#tempo-figures tbody tr").last.locator("td").inner_text()
    assert last in page.locator("#tempo-picture .value").all_text_contents()


def test_late_is_above_and_said_in_words(opened: Any) -> None:
    """Of two levels the late one is higher; the beat has its name; no legend is needed."""
    page = opened()
    levels = page.locator("#placement-picture .scale:not(.on)")
    heights = {
        side: [float(level.get_attribute("y")) for level in levels.all() if side in (level.text_content() or "")]
        for side in ("late", "early")
    }
    beat = float(page.locator("#placement-picture .scale.on").get_attribute("y") or "nan")
    assert all(y < beat for y in heights["late"])
    assert all(y > beat for y in heights["early"])
    assert heights["late"]
    expect(page.locator("#placement-picture .scale.on")).to_have_text("on the beat")


def test_the_weakest_are_one_click_from_practising(stand_in: StandIn, opened: Any) -> None:
    """The drill and a tempo that was held are set up, and the start button has the focus."""
    page = opened()
    items = page.locator("#weakest li")
    assert items.count() == 5
    drill = items.first.locator("b").inner_text()
    bpm = items.first.locator("button").get_attribute("data-bpm")
    items.first.locator("button").press("Enter")
    expect(page.locator("#practise")).to_be_visible()
    expect(page.locator("#drill")).to_have_value(drill)
    expect(page.locator("#tempo")).to_have_value(bpm)
    expect(page.locator("#toggle")).to_be_focused()
    page.keyboard.press("Enter")
    eventually(stand_in, lambda asked: any(one[:2] == ("POST", "practice") for one in asked))
    body = next(body for method, what, body in stand_in.asked if (method, what) == ("POST", "practice"))
    assert (body["drill"], body["click_bpm"]) == (drill, float(bpm))


def test_another_span_is_asked_for_and_kept(stand_in: StandIn, opened: Any) -> None:
    """Four weeks end today; the choice outlives the page."""
    page = opened()
    assert stand_in.practised.asked[-1][0].first == "2025-12-31"
    page.locator("[data-span='4 weeks']").press("Enter")
    expect(page.locator("#progress-headline")).to_contain_text("from 4 Mar 2026 to 31 Mar 2026")
    assert stand_in.practised.asked[-1][0].first == "2026-03-04"
    page.reload()
    expect(page.locator("[data-span='4 weeks']")).to_have_attribute("aria-pressed", "true")


def test_another_ornament_and_another_row(stand_in: StandIn, opened: Any) -> None:
    """By the list, or by its name in the table of all; ten in a row are harder than three."""
    page = opened()
    page.locator("#progress-drill").select_option("birl from E")
    expect(page.locator("#progress")).to_have_attribute("data-drawn", "birl from E")
    page.locator("#all-ways button", has_text="grip from B to C").press("Enter")
    expect(page.locator("#progress")).to_have_attribute("data-drawn", "grip from B to C")
    expect(page.locator("#progress-drill")).to_be_focused()
    before = page.locator("#tempo-picture .point").count()
    page.locator("#in-row").select_option("10")
    expect(page.locator("#tempo-said")).to_contain_text("10 clean in a row")
    assert page.locator("#tempo-picture .point").count() < before
    assert stand_in.practised.asked[-1][1:] == (10, "grip from B to C")


def test_a_year_is_told_by_weeks(opened: Any) -> None:
    """365 days are thinned out to 53 weeks at most, and the caption says so."""
    page = opened()
    page.locator("[data-span='a year']").click()
    expect(page.locator("#days-said")).to_contain_text("Each bar is a week")
    assert page.locator("#days-picture .bar").count() <= 54


def test_every_picture_says_what_it_shows(opened: Any) -> None:
    """WCAG 2.2, 1.1.1: an image has its text; and no picture but its table follows it."""
    page = opened()
    for picture in page.locator("#progress svg[role=img]:visible").all():
        told = picture.get_attribute("aria-label")
        assert told
        assert told.endswith(".")


def test_simulated_practice_is_called_simulated(opened: Any) -> None:
    """It must not pass for a person's."""
    expect(opened().locator("#progress-simulated")).to_contain_text("simulated player")


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_is_cut_off_or_written_over(opened: Any, width: int, height: int) -> None:
    """No sideways scrolling of the page; words of one picture's axes do not overlap; all stay within it."""
    page = opened(width, height)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    overlaps = page.evaluate(
        """() => [...document.querySelectorAll('#progress svg.picture')].flatMap((svg) => {
          const frame = svg.getBoundingClientRect();
          const texts = [...svg.querySelectorAll('text.scale, text.name')];
          const boxes = texts.map((text) => [text.textContent, text.getBoundingClientRect()]);
          const outside = boxes.filter(([, box]) => box.left < frame.left - 1 || box.right > frame.right + 1);
          const over = boxes.flatMap(([one, a], i) => boxes.slice(i + 1).filter(([, b]) =>
            a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 3 && b.top < a.bottom - 3)
            .map(([other]) => [svg.id, one, other]));
          return [...outside.map(([text]) => [svg.id, text]), ...over];
        })"""
    )
    assert overlaps == []


@pytest.mark.parametrize("theme", THEMES)
def test_every_word_has_contrast(opened: Any, theme: Any) -> None:
    """WCAG 2.2, 1.4.3: at least 4.5:1, with the tables open, light and dark."""
    page = opened(color_scheme=theme)
    for summary in page.locator("#progress summary:visible").all():
        summary.click()
    worn = page.evaluate(WORN)
    assert len(worn) > 100
    for one in worn:
        assert contrast(one["ink"], one["behind"]) >= 4.5, one


@pytest.mark.parametrize("theme", THEMES)
def test_every_mark_has_contrast(opened: Any, theme: Any) -> None:
    """WCAG 2.2, 1.4.11: what tells a figure is at least 3:1 against what is behind it, and is not made paler."""
    page = opened(color_scheme=theme)
    marks = page.evaluate(
        """() => [['.spread', 'stroke'], ['.way', 'stroke'], ['.beat', 'stroke'], ['.point', 'fill'], ['.bar', 'fill']]
        .map(([kind, paint]) => {
          const style = getComputedStyle(document.querySelector(`#progress .picture ${kind}`));
          const paper = getComputedStyle(document.querySelector('#progress figure')).backgroundColor;
          const rgb = (colour) => colour.match(/[\\d.]+/g).slice(0, 3).map(Number);
          return [kind, rgb(style[paint]), rgb(paper), Number(style[`${paint}Opacity`]) * Number(style.opacity)];
        })"""
    )
    assert len(marks) == 5
    for kind, ink, paper, opacity in marks:
        assert opacity == 1, kind
        assert contrast(ink, paper) >= 3, kind


def test_ticks_are_round_and_few(inside: Inside) -> None:
    """Whatever the range, at most the asked number; a range of one value has room about it."""
    assert inside("progress/chart.js", "(m) => m.roundTicks(57, 84, 5)") == [60, 65, 70, 75, 80]
    assert inside("progress/chart.js", "(m) => m.roomy(64, 64, 12)") == {"low": 56, "high": 72}
    for high in (1, 7, 31, 190, 4000):
        ticks = inside("progress/chart.js", "(m, high) => m.roundTicks(0, high, 5)", high)
        assert ticks[0] == 0
        assert 1 <= len(ticks) <= 6


@pytest.mark.parametrize(("days", "room"), [(7, 60), (28, 60), (91, 75), (365, 75), (3650, 75)])
def test_days_on_an_axis_have_room(inside: Inside, days: int, room: int) -> None:
    """In 600 pixels no two names of days are nearer than their room, and there are at least three."""
    told = inside("progress/chart.js", "(m, d, r) => m.dayTicks(20543 - d + 1, 20543, 600, r)", days, room)
    places = [(tick["day"] - 20543 + days) / days * 600 for tick in told]
    assert len(places) >= 3
    assert all(later - before >= room * 0.9 for before, later in pairwise(places))


def test_spans_end_today_and_are_so_many_days(inside: Inside) -> None:
    """Four weeks are 28 days with today; all has no beginning."""
    told = inside("progress/state.js", "(m) => m.SPANS.map(({name}) => m.spanDays(name, '2026-03-31'))")
    assert [one["from"] for one in told] == ["2026-03-04", "2025-12-31", "2025-04-01", None]
    assert {one["to"] for one in told} == {"2026-03-31"}
