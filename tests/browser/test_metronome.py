"""Scheduling: each click goes to the audio clock once, ahead of its time, or not at all."""

from typing import Any

import pytest

from tests.browser import scene
from tests.browser.conftest import Inside

PREPARE = """
  class FakeContext {
    constructor() {
      Object.assign(this, {currentTime: 0, sampleRate: 48000, state: "running", destination: {}, started: []});
      globalThis.fake = this;
    }
    async resume() {}
    createGain() { return {gain: {value: 1}, connect() {}}; }
    createBuffer(_, length) { return {getChannelData: () => new Float32Array(length)}; }
    createBufferSource() {
      const node = {stopped: false, connect() {}, stop: () => { node.stopped = true; }};
      node.start = (at) => this.started.push(Object.assign(node, {at}));
      return node;
    }
    getOutputTimestamp() { return this.stamp ?? {contextTime: 0, performanceTime: 0}; }
  }
  globalThis.AudioContext = FakeContext;
  const clock = {known: {}, toPage_ms: (ns) => ns / 1e6, toDaemon_ns: (ms) => ms * 1e6};
"""


def look(inside: Inside, moments: list[float], before: str = "", after: str = "") -> dict[str, Any]:
    """Let a metronome at 120 clicks a minute from beat 0 at 1000 ms look at those moments (ms); what it started."""
    body = (
        "async (m, grid, moments) => {"
        + PREPARE
        + """
      let asked = {grid, clock};
      const metronome = new m.Metronome(() => asked, () => ({volume: 0.4, accent: true}));
      await metronome.allow();
      const looks = (list) => list.forEach((ms) => { fake.currentTime = ms / 1000; metronome.look(ms); });
      BEFORE
      looks(moments);
      AFTER
      const {started} = fake;
      const {skipped} = metronome;
      return {at: started.map((node) => node.at), stopped: started.map((node) => node.stopped), skipped};
    }""".replace("BEFORE", before).replace("AFTER", after)
    )
    found: dict[str, Any] = inside(
        "audio/metronome.js", body, {**scene.grid(120.0, 1_000_000_000), "count_in": 0}, moments
    )
    return found


def test_each_click_is_given_once_and_ahead(inside: Inside) -> None:
    """Looking every 50 ms for 3 s from 0 gives beats at 1.0, 1.5, ... 3.0 s once each."""
    found = look(inside, [50.0 * step for step in range(61)])
    assert found["at"] == pytest.approx([1.0, 1.5, 2.0, 2.5, 3.0], abs=1e-4)
    assert found["skipped"] == 0


def test_clicks_missed_in_sleep_are_skipped(inside: Inside) -> None:
    """A tab that slept from 1.2 s to 4.1 s plays none of the missed clicks late, and goes on with the next."""
    found = look(inside, [900.0, 1200.0, 4100.0, 4400.0])
    assert found["at"] == pytest.approx([1.0, 4.5], abs=1e-4)
    assert found["skipped"] == 6


def test_stopping_takes_back_what_has_not_sounded(inside: Inside) -> None:
    """After a stop the click that was given ahead is stopped, and a new run starts cleanly."""
    found = look(inside, [850.0], after="asked = null; looks([900]);")
    assert found["at"] == pytest.approx([1.0], abs=1e-4)
    assert found["stopped"] == [True]


def test_the_latency_is_taken_off_once(inside: Inside) -> None:
    """The pair of getOutputTimestamp holds the latency already; without a pair outputLatency is taken off instead.

    Web Audio: contextTime is the frame that is leaving the device at performanceTime.
    """
    body = "(m, context, page, now) => m.audioTime_s({...context, getOutputTimestamp: () => context.stamp}, page, now)"
    stamp = {"contextTime": 9.96, "performanceTime": 1000.0}
    behind = {"currentTime": 10.0, "outputLatency": 0.04}
    told = inside("audio/metronome.js", body, {**behind, "stamp": stamp}, 1500.0, 1000.0)
    assert told == pytest.approx(10.46)
    guessed = inside(
        "audio/metronome.js", body, {**behind, "stamp": {"contextTime": 0, "performanceTime": 0}}, 1500.0, 1000.0
    )
    assert guessed == pytest.approx(10.46)
    unknown = inside("audio/metronome.js", body, {"currentTime": 10.0, "stamp": None}, 1500.0, 1000.0)
    assert unknown == pytest.approx(10.5)
