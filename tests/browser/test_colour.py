"""Contrast and colour, computed from the page's own colours by the formulas of WCAG 2.2.

Relative luminance, contrast ratio, 1.4.3 (text 4.5:1), 1.4.11 (graphics 3:1) and the red flash threshold of 2.3.1.
"""

from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn

THEMES = ("light", "dark")
TEXT = [
    ("ink", "background"),
    ("ink", "paper"),
    ("ink", "soft"),
    ("ink", "slot"),
    ("ink", "warn"),
    ("muted", "background"),
    ("muted", "paper"),
    ("muted", "soft"),
    ("accent", "background"),
    ("accent", "paper"),
    ("accent", "soft"),
    ("on-accent", "accent"),
    ("early", "paper"),
    ("early", "background"),
    ("late", "paper"),
    ("late", "background"),
]
# The beat crosses the bars too, but within a casing of the paper's colour.
GRAPHICS = [
    ("ink", "paper"),
    ("edge", "paper"),
    ("edge", "background"),
    ("edge", "slot"),
    ("accent", "paper"),
    ("accent", "soft"),
    ("early", "paper"),
    ("late", "paper"),
]
COLOURS = """(names) => Object.fromEntries(names.map((name) => {
  const probe = document.createElement('i');
  document.body.append(probe);
  probe.style.color = `var(--${name})`;
  const colour = getComputedStyle(probe).color;
  probe.remove();
  return [name, colour.match(/[\\d.]+/g).slice(0, 3).map(Number)];
}))"""
WORN = """() => [...document.querySelectorAll('body *')].filter((one) => !one.closest('svg') && one.checkVisibility()
    && [...one.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())).map((one) => {
  let behind = one;
  const clear = 'rgba(0, 0, 0, 0)';
  while (behind && getComputedStyle(behind).backgroundColor === clear) behind = behind.parentElement;
  const rgb = (colour) => colour.match(/[\\d.]+/g).slice(0, 3).map(Number);
  return {what: `${one.tagName} ${one.textContent.trim().slice(0, 30)}`, ink: rgb(getComputedStyle(one).color),
    behind: rgb(getComputedStyle(behind ?? document.body).backgroundColor)};
})"""

Rgb = list[float]


def linear(rgb: Rgb) -> list[float]:
    """Linear light of each part, 0 to 1."""
    parts = [part / 255 for part in rgb]
    return [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]


def luminance(rgb: Rgb) -> float:
    """Relative luminance: L = 0.2126 R + 0.7152 G + 0.0722 B."""
    red, green, blue = linear(rgb)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Rgb, other: Rgb) -> float:
    """(L1 + 0.05) / (L2 + 0.05), the lighter first."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def colours(page: Page) -> dict[str, Rgb]:
    """The page's colours by name, as the browser computes them."""
    names = sorted({name for pair in TEXT + GRAPHICS for name in pair})
    found: dict[str, Rgb] = page.evaluate(COLOURS, names)
    return found


def test_the_formula() -> None:
    """Black on white is 21:1, and Okabe and Ito's blue #0072B2 on white 5.19:1."""
    assert contrast([0, 0, 0], [255, 255, 255]) == pytest.approx(21)
    assert contrast([0x00, 0x72, 0xB2], [255, 255, 255]) == pytest.approx(5.19, abs=0.01)


@pytest.mark.parametrize("theme", THEMES)
def test_every_pair_has_contrast(open_page: Open, theme: Any) -> None:
    """WCAG 2.2, 1.4.3 and 1.4.11: text at least 4.5:1, graphics at least 3:1, light and dark."""
    found = colours(open_page(color_scheme=theme))
    for ink, on in TEXT:
        assert contrast(found[ink], found[on]) >= 4.5, (ink, on)
    for ink, on in GRAPHICS:
        assert contrast(found[ink], found[on]) >= 3, (ink, on)


@pytest.mark.parametrize("theme", THEMES)
def test_every_word_on_the_page_has_contrast(stand_in: StandIn, open_page: Open, theme: Any) -> None:
    """Each element that holds text, on the background it really has, with notices up and the set-up open."""
    asked = scene.asked(scene.DRILLS[2])
    stand_in.one["practice"] = scene.practice(asked, scene.dozen(asked, 60))
    stand_in.one["chanter"]["state"] = "gone"
    page = open_page(color_scheme=theme)
    page.locator("#drill").click()
    page.locator("#drills li").first.wait_for()
    worn = page.evaluate(WORN)
    page.locator("#setup-open").click()
    page.locator("#inputs button").first.wait_for()
    for one in worn + page.evaluate(WORN):
        assert contrast(one["ink"], one["behind"]) >= 4.5, one


@pytest.mark.parametrize("theme", THEMES)
def test_every_word_of_the_book_has_contrast(open_page: Open, complaints: list[str], theme: Any) -> None:
    """The list, an ornament, a way that is not played and why, and the sheet; what is disabled is exempt by 1.4.3."""
    page = open_page(color_scheme=theme)
    page.locator("nav a", has_text="Book").click()
    page.locator("#ornaments [role=option]", has_text="taorluath").first.click()
    page.locator("#built svg").first.wait_for()
    worn = page.evaluate(WORN)
    page.locator("#ways .cannot").first.click()
    page.locator("#way-reason").wait_for()
    worn += page.evaluate(WORN)
    page.locator("#ways-sheet").click()
    page.locator("#sheet-open").click()
    worn += page.evaluate(WORN)
    assert len(worn) > 300
    for one in worn:
        assert contrast(one["ink"], one["behind"]) >= 4.5, one
    complaints.clear()


@pytest.mark.parametrize("theme", THEMES)
def test_no_colour_is_a_saturated_red(open_page: Open, theme: Any) -> None:
    """WCAG 2.2, red flash: R / (R + G + B) in linear light stays under 0.8, so that no change of colour can be one."""
    for name, rgb in colours(open_page(color_scheme=theme)).items():
        parts = linear(rgb)
        assert parts[0] / max(sum(parts), 1e-9) < 0.8, name


@pytest.mark.parametrize("theme", THEMES)
def test_early_and_late_differ_without_red_or_green(open_page: Open, theme: Any) -> None:
    """Early is the bluer and late the yellower: the axis that red-green blind eyes keep."""
    found = colours(open_page(color_scheme=theme))

    def blueness(rgb: Rgb) -> float:
        red, green, blue = linear(rgb)
        return blue - (red + green) / 2

    assert blueness(found["early"]) > blueness(found["muted"]) > blueness(found["late"])
    assert blueness(found["early"]) - blueness(found["late"]) > 0.2


def test_the_theme_is_chosen_and_kept(open_page: Open) -> None:
    """The button changes the theme, and the next visit finds it so, whatever the system says."""
    page = open_page(color_scheme="light")
    seen = [luminance(colours(page)["background"])]
    page.locator("#theme").click()
    seen.append(luminance(colours(page)["background"]))
    page.reload()
    page.locator("#theme[aria-pressed=true]").wait_for()
    seen.append(luminance(colours(page)["background"]))
    assert seen[0] > 0.8
    assert seen[1] < 0.05
    assert all(here == there for here, there in pairwise(seen[1:]))
