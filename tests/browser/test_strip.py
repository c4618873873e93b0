"""The strip: late lies to the right, and no word overlaps another or is cut off, at any width and however tight."""

from itertools import combinations, pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page, expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.stand_in import StandIn

LAYOUT = """async (m, asked, grid, reps, width, height, rem) => {
  const {readingOf} = await import("/practise/reading.js");
  const run = {sequence: [asked], grid, reps, readings: {}, heard: [], ended: false};
  const measure = (text, size, bold) => text.length * size * (bold ? 0.66 : 0.6);
  return reps.map(({rep}) => m.layout({asked, reading: readingOf(run, rep, 0), width, height, rem, measure}));
}"""
SIZES = [(330.0, 280.0, 16.0), (620.0, 440.0, 16.0), (1030.0, 640.0, 21.6)]


def plans(inside: Inside, asked: Any, reps: list[Any], size: tuple[float, float, float]) -> Any:
    """The strip of each rep."""
    return inside("practise/strip.js", LAYOUT, asked, scene.grid(), reps, *size)


def plan(inside: Inside, asked: Any, rep: Any, size: tuple[float, float, float]) -> Any:
    """The strip of one rep."""
    return plans(inside, asked, [rep], size)[0]


def apart(ones: list[tuple[float, float]]) -> bool:
    """Whether no two spans (left, right) overlap."""
    return all(one[1] <= other[0] or other[1] <= one[0] for one, other in combinations(ones, 2))


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("stretch", [0.25, 0.5, 1.0, 2.0])
@pytest.mark.parametrize("drill", scene.DRILLS, ids=lambda drill: drill.words)
def test_words_have_room(inside: Inside, drill: scene.Drill, stretch: float, size: tuple[float, float, float]) -> None:
    """Names and figures stand apart and within the strip, from steps of 8 ms to steps of 120 ms, in any mishap."""
    asked = scene.asked(drill, stretch=stretch)
    reps = scene.dozen(asked, 60)
    for rep, found in zip(reps, plans(inside, asked, reps, size), strict=True):
        assert len(found["figures"]) >= len(rep["steps"])
        assert found["names"]
        for group in (found["names"], found["figures"]):
            rows: dict[float, list[tuple[float, float]]] = {}
            for one in group:
                assert one["x"] >= 0
                assert one["x"] + one["width"] <= size[0] + 0.01
                rows.setdefault(one["y"], []).append((one["x"], one["x"] + one["width"]))
            assert all(apart(row) for row in rows.values())
        labels = [one["label"] for one in found["extras"]]
        assert all(labels)
        assert apart([(one["x"], one["x"] + one["width"]) for one in labels])


def test_late_is_to_the_right(inside: Inside) -> None:
    """A late step's bar begins right of its slot, an early one's left of it, by its ms on the axis."""
    asked = scene.asked(scene.DRILLS[0])
    rep = scene.rep(asked, 60, 0, noise_ms=0)
    for shift, step in zip((12.0, -9.0, 25.0, -14.0), rep["steps"], strict=True):
        step["onset_ms"] = step["expected_ms"] + shift
        step["deviation_ms"] = shift
    found = plan(inside, asked, rep, SIZES[1])
    joins = {join["key"]: join for join in found["joins"]}
    scale = found["axis"]["scale"]
    for step in rep["steps"]:
        join = joins[step["step"]]
        assert join["x2"] - join["x1"] == pytest.approx((step["deviation_ms"] or 0) * scale, abs=0.5)
    assert [joins[key]["side"] for key in range(4)] == ["late", "early", "late", "early"]


@pytest.mark.parametrize("drill", scene.DRILLS, ids=lambda drill: drill.words)
def test_the_beat_stands_clear_of_the_ends(inside: Inside, drill: scene.Drill) -> None:
    """Both sides of the beat can be seen: it stands between a fifth and four fifths of the axis."""
    asked = scene.asked(drill)
    found = plan(inside, asked, scene.rep(asked, 60, 0), SIZES[1])
    axis = found["axis"]
    assert 0.2 <= (found["beat"]["x"] - axis["left"]) / (axis["right"] - axis["left"]) <= 0.8


def test_a_step_far_off_has_room(inside: Inside) -> None:
    """A step played outside the usual window widens it: its bar is not crammed at the edge, and its ms are shown."""
    asked = scene.asked(scene.DRILLS[0])
    rep = scene.rep(asked, 60, 0)
    rep["steps"][3].update({"onset_ms": 1700.0, "deviation_ms": 700.0})
    found = plan(inside, asked, rep, SIZES[1])
    assert [bar["outside"] for bar in found["bars"] if bar["key"] == 3] == [0]
    [right] = [bar["right"] - bar["x"] for bar in found["bars"] if bar["key"] == 3]
    assert right > 10
    assert [figure["number"] for figure in found["figures"] if figure["key"] == 3] == ["700"]


def test_spreading_is_as_small_as_can_be(inside: Inside) -> None:
    """Labels that have room stay where they want to be; those that do not keep their order and their gap."""

    @given(st.lists(st.floats(0, 500), min_size=1, max_size=8), st.floats(10, 60))
    @settings(max_examples=60, deadline=None)
    def holds(wanted: list[float], width: float) -> None:
        wanted.sort()
        body = "(m, wanted, widths, gap, from, to) => m.declutter(wanted, widths, gap, from, to)"
        places = inside("practise/declutter.js", body, wanted, [width] * len(wanted), 5, 0, 560)
        assert places is not None
        assert all(there - here >= width + 5 - 1e-6 for here, there in pairwise(places))
        assert places[0] >= -1e-6
        assert places[-1] + width <= 560 + 1e-6
        roomy = all(there - here >= width + 5 for here, there in pairwise(wanted))
        if roomy and wanted[-1] + width <= 560:
            assert places == pytest.approx(wanted)

    holds()


def texts(page: Page) -> list[dict[str, float]]:
    """The boxes of all words of the strip as the browser has set them."""
    found: list[dict[str, float]] = page.evaluate(
        """() => [...document.querySelectorAll('#strip text')].map((text) => {
          const {x, y, width, height} = text.getBBox();
          return {text: text.textContent, x, y: y + height * 0.15, right: x + width, bottom: y + height * 0.85};
        })"""
    )
    return found


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (1920, 1080), (390, 844)])
@pytest.mark.parametrize("number", [0, 2])
def test_words_have_room_on_the_page(stand_in: StandIn, open_page: Open, width: int, height: int, number: int) -> None:
    """With the page's real letters no two words of the strip overlap, and none leaves it, whatever the mishap."""
    asked = scene.asked(scene.DRILLS[number], stretch=0.5)
    reps = scene.dozen(asked, 60)
    stand_in.one["practice"] = scene.practice(asked, [])
    page = open_page(width, height)
    counts = {"final": True, "in_a_row": 0, "clean_count": 0, "played_count": 0, "heard_ns": 0, "sent_ns": 0}
    for told, rep in enumerate(reps, 1):
        stand_in.send({**rep, "kind": "rep", "seat": "one", **counts})
        expect(page.locator("#habit li")).to_have_count(told)
        strip = page.evaluate(
            "(({width, height}) => [width, height])(document.querySelector('#strip').getBoundingClientRect())"
        )
        found = texts(page)
        assert len(found) > len(rep["steps"])
        for one in found:
            assert one["x"] >= -1, one
            assert one["right"] <= strip[0] + 1, one
            assert one["bottom"] <= strip[1] + 1, one
        for one, other in combinations(found, 2):
            beside = one["right"] <= other["x"] + 1 or other["right"] <= one["x"] + 1
            assert beside or one["bottom"] <= other["y"] or other["bottom"] <= one["y"], (one, other)


def test_a_step_on_the_beat_has_a_figure_clear_of_its_line(inside: Inside) -> None:
    """What is best played is best read: its figure and word stand beside the line, under the name in the bar."""
    asked = scene.asked(scene.DRILLS[0])
    found = plan(inside, asked, scene.rep(asked, 60, 0, noise_ms=0), SIZES[1])
    (figure,) = [one for one in found["figures"] if one["key"] == 3]
    assert figure["x"] - found["beat"]["x"] > 4
    assert figure["leader"]["x1"] == pytest.approx(figure["leader"]["x2"])


def test_bold_words_have_room_too(stand_in: StandIn, open_page: Open) -> None:
    """What stands under steps that did not sound is bold, and stands a letter apart from the words beside it."""
    asked = scene.asked(scene.DRILLS[0], stretch=0.9)
    rep: Any = scene.missing(scene.rep(asked, 60, 0, noise_ms=0), 1)
    rep["steps"][2].update({"state": "merged", "onset_ms": None, "deviation_ms": None, "length_ms": None})
    stand_in.one["practice"] = scene.practice(asked, [rep])
    page = open_page()
    expect(page.locator("#strip .word.odd")).to_have_text(["missing", "merged"])
    words = page.evaluate(
        """() => [...document.querySelectorAll('#strip .word')].map((word) => word.getBBox())
          .map(({x, y, width, height}) => [x, x + width, height]).sort(([one], [other]) => one - other)"""
    )
    assert all(there[0] - here[1] > here[2] / 4 for here, there in pairwise(words)), words
