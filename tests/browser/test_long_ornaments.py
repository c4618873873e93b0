"""The longest ornaments of the book, with the longest names: everything is named, nothing covers anything else."""

import pytest
from playwright.sync_api import Page, expect

from chanterd.judging.standard import find_standard, read_standards
from chanterd.music.book import standard_book
from chanterd.music.drill import Drill, all_drills
from chanterd.music.units import Bpm
from chanterd.practice.exercise import Exercise
from chanterd.serving.wire.views import sequence_view
from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn

OVERLAPS = """() => {
  const texts = [...document.querySelectorAll('#marks text')].filter((text) => text.textContent.trim());
  const boxes = texts.map((text) => [text.textContent, text.getBoundingClientRect()]);
  const cover = ([, one], [, other]) =>
    Math.min(one.right, other.right) - Math.max(one.left, other.left) > 2 &&
    Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top) > 4;
  return boxes.flatMap((one, index) =>
    boxes.slice(index + 1).filter((other) => cover(one, other)).map((other) => [one[0], other[0]]));
}"""
CUT = """() => {
  const beat = document.querySelector('#marks .beat').getBoundingClientRect();
  return [...document.querySelectorAll('#marks .number')].filter((number) => {
    const { left, right, top, bottom } = number.getBoundingClientRect();
    return left < beat.left && right > beat.right && top < beat.bottom && bottom > beat.top;
  }).map((number) => number.textContent);
}"""
SIZES = [(390, 844), (1280, 800), (1920, 1080)]


def longest() -> list[Drill]:
    """Of each ornament one drill: the three with the most steps, and the three with the longest names."""
    ones = list({drill.ornament.name: drill for drill in all_drills(standard_book())}.values())
    by_steps = sorted(ones, key=lambda drill: -len(drill.steps))[:3]
    by_name = sorted((one for one in ones if one not in by_steps), key=lambda drill: -len(drill.words))[:3]
    return [*by_steps, *by_name]


def played(stand_in: StandIn, open_page: Open, drill: Drill, size: tuple[int, int], **how: float) -> Page:
    """A run of it, four reps in; the last one is ``how``, with notes that nobody asked for."""
    standard = find_standard("steady", read_standards())
    (asked,) = sequence_view(Exercise(drill, Bpm(60.0), standard).score())
    reps = [scene.rep(asked, 60, index) for index in range(3)]
    practice = scene.practice(asked, [*reps, scene.with_extras(scene.rep(asked, 60, 3, **how))])
    stand_in.one["practice"] = {**practice, "drill": drill.words}
    page = open_page(*size)
    expect(page.locator("#marks .number").first).to_be_visible()
    return page


@pytest.mark.parametrize("size", SIZES, ids=lambda size: str(size[0]))
@pytest.mark.parametrize("drill", longest(), ids=lambda drill: drill.ornament.name)
def test_all_of_a_long_ornament_is_named_and_nothing_is_covered(
    stand_in: StandIn, open_page: Open, drill: Drill, size: tuple[int, int]
) -> None:
    """Each note asked and each note played by its name; no words over words, and no beat through a figure."""
    page = played(stand_in, open_page, drill, size)
    asked = [step.note.words for step in drill.steps]
    assert page.locator("#marks .slot-name").all_text_contents()[-len(asked) :] == asked
    named = page.locator("#marks .name, #marks .word").all_text_contents()
    assert all(note in named for note in {step.note.words for step in drill.steps if step.sounds})
    assert page.evaluate(OVERLAPS) == []
    assert page.evaluate(CUT) == []


@pytest.mark.parametrize("size", SIZES[1:], ids=lambda size: str(size[0]))
@pytest.mark.parametrize("drill", longest(), ids=lambda drill: drill.ornament.name)
def test_a_long_name_pushes_nothing_off_the_screen(
    stand_in: StandIn, open_page: Open, drill: Drill, size: tuple[int, int]
) -> None:
    """The settings are the last thing on the left, and in view."""
    page = played(stand_in, open_page, drill, size)
    expect(page.locator("#asked-staff svg")).to_be_visible()
    expect(page.locator("#settings-now")).to_be_in_viewport(ratio=1)


@pytest.mark.parametrize("late_ms", [-89.0, 89.0, 250.0])
@pytest.mark.parametrize("drill", [scene.DRILLS[5], scene.DRILLS[0]], ids=lambda drill: drill.ornament)
def test_the_worst_rep_is_not_crammed_at_the_edge(
    stand_in: StandIn, open_page: Open, drill: scene.Drill, late_ms: float
) -> None:
    """Played far off, each note still has a bar of its own inside the strip."""
    asked = scene.asked(drill)
    stand_in.one["practice"] = scene.practice(asked, [scene.rep(asked, 60, 0, late_ms=late_ms)])
    page = open_page()
    expect(page.locator("#marks .bar").first).to_be_attached()
    strip = page.locator("#strip").bounding_box()
    assert strip
    edges = [bar.bounding_box() for bar in page.locator("#marks .bar").all()]
    assert len(edges) == len(asked["steps"]) + 1
    assert all(edge is not None and edge["width"] >= 2 for edge in edges)
    assert all(edge is not None and edge["x"] + edge["width"] <= strip["x"] + strip["width"] for edge in edges)
    starts = sorted(edge["x"] for edge in edges if edge is not None)
    assert starts[-1] < strip["x"] + strip["width"] - 20
