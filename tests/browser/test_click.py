"""The click: where it sounds, to the sample, rendered by the browser's own audio engine (OfflineAudioContext)."""

import math

import pytest

from tests.browser import scene
from tests.browser.conftest import Inside

RENDER = """async (m, rate, clicks) => {
  const context = new OfflineAudioContext(1, 6 * rate, rate);
  for (const click of clicks) m.renderClick(context, context.destination, click.at_s, click.accent);
  const samples = (await context.startRendering()).getChannelData(0);
  const found = [];
  let quiet = Infinity;
  samples.forEach((sample, index) => {
    if (Math.abs(sample) > 0.05 && quiet > 0.1 * rate) found.push({at: index, peak: 0});
    quiet = Math.abs(sample) > 0.01 ? 0 : quiet + 1;
    if (found.length) found.at(-1).peak = Math.max(found.at(-1).peak, Math.abs(sample));
  });
  return found;
}"""


@pytest.mark.parametrize("rate", [44_100, 48_000])
@pytest.mark.parametrize("click_bpm", [60.0, 83.0, 160.0, 200.0])
def test_each_click_sounds_on_its_sample(inside: Inside, rate: int, click_bpm: float) -> None:
    """The onset lies within one sample of round(time * rate), for every click, also when a beat is no whole sample."""
    times = [0.25 + beat * 60 / click_bpm for beat in range(int(5 * click_bpm / 60))]
    clicks = [{"at_s": at, "accent": beat % 2 == 0} for beat, at in enumerate(times)]
    found = inside("audio/click.js", RENDER, rate, clicks)
    assert len(found) == len(times)
    for one, at in zip(found, times, strict=True):
        assert abs(one["at"] - round(at * rate)) <= 1


def test_the_accent_is_louder(inside: Inside) -> None:
    """The accented click has at least 3 dB more at its peak, and nothing clips."""
    clicks = [{"at_s": 1.0, "accent": True}, {"at_s": 2.0, "accent": False}]
    accent, plain = inside("audio/click.js", RENDER, 48_000, clicks)
    assert 20 * math.log10(accent["peak"] / plain["peak"]) >= 3
    assert accent["peak"] < 1


def test_the_grid_gives_each_click_once(inside: Inside) -> None:
    """From the count-in on, beat b is at beat0 + b * 60e9 / bpm; windows that touch give every click once."""
    grid = scene.grid(90.0, 10_000_000_000)
    beat_ns = 60e9 / 90
    body = "(m, g, edges) => edges.slice(1).flatMap((to, i) => m.clicksBetween(g, edges[i], to))"
    edges = [10e9 - 6 * beat_ns + step * 0.31 * beat_ns for step in range(40)]
    clicks = inside("core/grid.js", body, grid, edges)
    beats = [click["beat"] for click in clicks]
    assert beats == list(range(-4, beats[-1] + 1))
    assert beats[-1] > 4
    for click in clicks:
        assert click["at_ns"] == pytest.approx(10e9 + click["beat"] * beat_ns, abs=1)
        assert click["accent"] == (click["beat"] % 2 == 0)


def test_a_calibration_ends_after_its_clicks(inside: Inside) -> None:
    """Sixteen clicks, then none."""
    body = "(m, g) => m.clicksBetween(g, -1e12, 1e12, 16).map((click) => click.beat)"
    assert inside("core/grid.js", body, scene.grid()) == list(range(-4, 16))
