"""Nothing flashes: WCAG 2.2, 2.3.1, at 200 clicks a minute.

A general flash is a pair of opposing changes of relative luminance of 10 % of the maximum or more, the darker below
0.80. At most three in any second, or their area together under a quarter of any 10 degree field: 341 by 256 pixels at
1024 by 768, which a screen of this size takes as its own.
"""

import base64
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser import scene
from tests.browser.conftest import Inside, Open
from tests.browser.placed_reps import segments
from tests.browser.stand_in import StandIn

CLICK_BPM = 200.0
CELL = 8
"""Pixels to a cell's side: finer than any bar of the strip."""
FIELD = 341 * 256
LUMINANCES = """async ([data, cell]) => {
  const picture = new Image();
  picture.src = data;
  await picture.decode();
  const [width, height] = [Math.floor(picture.width / cell), Math.floor(picture.height / cell)];
  const pen = new OffscreenCanvas(width, height).getContext('2d');
  pen.drawImage(picture, 0, 0, width, height);
  const {data: rgba} = pen.getImageData(0, 0, width, height);
  const linear = (part) => part / 255 <= 0.03928 ? part / 255 / 12.92 : ((part / 255 + 0.055) / 1.055) ** 2.4;
  return Array.from({length: width * height}, (_, i) =>
    0.2126 * linear(rgba[4 * i]) + 0.7152 * linear(rgba[4 * i + 1]) + 0.0722 * linear(rgba[4 * i + 2]));
}"""


def changes(cell: list[tuple[float, float]]) -> list[tuple[float, int]]:
    """When a cell of (seconds, luminance) changed enough to be half of a flash, and to which side."""
    found: list[tuple[float, int]] = []
    level = cell[0][1]
    for at, now in cell[1:]:
        if abs(now - level) >= 0.1 and min(now, level) < 0.8:
            found.append((at, 1 if now > level else -1))
            level = now
    return found


def flashes_too_often(cell: list[tuple[float, float]]) -> bool:
    """Whether more than three flashes (opposing pairs) fall into any one second."""
    opposing = [there[0] for here, there in pairwise(changes(cell)) if here[1] != there[1]]
    # A flash is a pair: n opposing changes in a row hold about n / 2 of them.
    return any(sum(start <= at < start + 1 for at in opposing) / 2 > 3 for start in opposing)


def test_the_measure_itself() -> None:
    """A cell that goes black and white four times a second flashes too often; twice a second it does not."""
    assert flashes_too_often([(step / 8, float(step % 2)) for step in range(24)])
    assert not flashes_too_often([(step / 4, float(step % 2)) for step in range(12)])


@pytest.mark.parametrize("ground", ["light", "dark"])
def test_nothing_flashes_at_two_hundred_clicks(stand_in: StandIn, open_page: Open, blank: Page, ground: Any) -> None:
    """Four simulated reps, a picture after every step and every verdict, each at the time it would have come."""
    asked = scene.asked(scene.DRILLS[2], CLICK_BPM, stretch=0.5)
    reps = scene.dozen(asked, CLICK_BPM)
    stand_in.one["practice"] = scene.practice(asked, reps[:8], CLICK_BPM)
    page = open_page(1024, 768, color_scheme=ground)
    expect(page.locator("#habit li")).to_have_count(8)
    pictures = [(0.0, picture(page, blank))]
    counts = {"final": True, "in_a_row": 0, "clean_count": 0, "played_count": 1}
    stamps = {"seat": "one", "heard_ns": 1, "sent_ns": 1}
    for rep in reps[8:]:
        start_ms = reps[8]["lead"]["expected_ms"]
        for step in rep["steps"]:
            if step["onset_ms"] is None:
                continue
            told = {**step, "step_kind": step["kind"], "length_ms": None, "rep": rep["rep"], "final": False}
            stand_in.send({**told, "kind": "step", **stamps})
            pictures.append(((step["onset_ms"] - start_ms) / 1000, picture(page, blank)))
        stand_in.send({**rep, "kind": "rep", **counts, **stamps})
        end_ms = (rep["lead"]["expected_ms"]) + 120_000 / CLICK_BPM
        pictures.append(((end_ms - start_ms) / 1000, picture(page, blank)))
    pictures.sort(key=lambda one: one[0])
    times = [at for at, _ in pictures]
    cells = list(zip(*(luminances for _, luminances in pictures), strict=True))
    assert sum(len(changes(list(zip(times, cell, strict=True)))) > 0 for cell in cells) > 50, "the strip was not seen"
    flashing = sum(flashes_too_often(list(zip(times, cell, strict=True))) for cell in cells)
    assert flashing * CELL * CELL <= FIELD / 4


def picture(page: Page, blank: Page) -> list[float]:
    """The page's luminance, cell by cell; the blank page does the sums."""
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    data = "data:image/png;base64," + base64.b64encode(page.screenshot()).decode()
    found: list[float] = blank.evaluate(LUMINANCES, [data, CELL])
    return found


def test_less_motion_is_kept(inside: Inside) -> None:
    """The dot of the beat walks; where the system asks for less motion it stays still from click to click."""
    body = """(m, run, beats, motion) =>
      beats.map((beat) => m.track(run, beat, motion === "smooth").find((one) => one.key === "dot").cx)"""
    run, beats = {"grid": scene.grid(), "segments": segments()}, [0.1, 0.5, 0.9, 1.1, 1.9]
    walking = inside("practise/beat_dot.js", body, run, beats, "smooth")
    assert len(set(walking)) == len(beats)
    stepping = inside("practise/beat_dot.js", body, run, beats, "still")
    assert len(set(stepping)) == 2
