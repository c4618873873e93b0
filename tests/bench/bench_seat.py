"""A learner's own page on a cheap phone: from a note to the painted strip, and frames dropped, in a class that plays.

A class of simulated players in the real daemon, a program of its own; one seat's page in the system's Chromium at the
size of a phone, its processor as it is and slowed down four times (the browser's own throttling). From a note: from the
moment that the simulated player's note was due to the first animation frame after the strip's marks changed. Both
clocks are of one machine, and compared once. Beside it, as a named peer, an empty page's frame times in the same run.

    python -m tests.bench.bench_seat [--seconds 20] [--seats 12]
"""

import argparse
import tempfile
import time
from statistics import median
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

from tests.bench.bench_page import FRAMES, share
from tests.browser.conftest import CHROMIUM, FLAGS
from tests.serving.running_daemon import Program, ask

PHONE: Any = {"width": 390, "height": 844}
CALLED = {"drill": "taorluath from C to low A", "click_bpm": 160}
DROPPED_MS = 1.5 * 1000 / 60
"""Two animation frames that are further apart have at least one dropped between them, at 60 Hz."""
WATCH = """
window.painted = [];
let waiting = [];
const Plain = WebSocket;
window.WebSocket = class extends Plain {
  constructor(...args) {
    super(...args);
    this.addEventListener("message", ({ data }) => {
      const frame = JSON.parse(data);
      if (frame.kind === "step" && !frame.final && frame.onset_ms !== null)
        waiting.push({ heard_ns: frame.heard_ns, came: performance.timeOrigin + performance.now() });
    });
  }
};
addEventListener("DOMContentLoaded", () => new MutationObserver(() => {
  const mine = waiting;
  waiting = [];
  if (mine.length) requestAnimationFrame(() => setTimeout(() => {
    const painted = performance.timeOrigin + performance.now();
    for (const one of mine) window.painted.push([one.heard_ns, one.came, painted]);
  }));
}).observe(document.querySelector("#marks"), { childList: true, subtree: true, attributes: true }));
"""


def frames(page: Page, slow: int, seconds: float) -> list[float]:
    """The times between animation frames, in ms, with the processor ``slow`` times slower."""
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slow})
    gaps: list[float] = page.evaluate(FRAMES, seconds)
    return gaps


def row(name: str, gaps: list[float]) -> str:
    """A row of the table of frames."""
    dropped = sum(gap > DROPPED_MS for gap in gaps) / len(gaps)
    return f"{name:<28}{share(gaps, 0.5):8.1f}{share(gaps, 0.99):8.1f}{max(gaps):8.1f}{100 * dropped:9.1f}%"


def measured(browser: Browser, address: str, slow: int, seconds: float) -> list[str]:
    """The rows of one speed: an empty page, the seat's page, and its notes."""
    empty = browser.new_page(viewport=PHONE)
    rows = [row(f"an empty page, {slow}x slower", frames(empty, slow, seconds / 4))]
    empty.close()
    page = browser.new_page(viewport=PHONE)
    page.add_init_script(WATCH)
    page.goto(f"{address}seat/1")
    page.locator("#verdict:not(:empty)").wait_for(timeout=30_000)
    rows.append(row(f"the seat's page, {slow}x slower", frames(page, slow, seconds)))
    ahead_ms = time.time_ns() / 1e6 - time.perf_counter_ns() / 1e6
    seen: list[list[float]] = page.evaluate("window.painted")
    page.close()
    to_page = sorted(came - ahead_ms - heard / 1e6 for heard, came, _ in seen)
    to_paint = sorted(painted - ahead_ms - heard / 1e6 for heard, _, painted in seen)
    for name, times in (("from a note to the page", to_page), ("from a note to paint", to_paint)):
        most = f"{median(times):8.1f}{share(times, 0.99):8.1f}{times[-1]:8.1f}"
        rows.append(f"  {name:<26}{most}   ({len(times)} notes)")
    return rows


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--seats", type=int, default=12)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        words = ["--seats", str(asked.seats), "--port", "0", "--data", folder]
        with Program(words, command="demo") as daemon:
            ask(daemon.page, "POST", "api/class", CALLED).raise_for_status()
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            print(f"{'ms':<28}{'p50':>8}{'p99':>8}{'most':>8}{'dropped':>10}")
            for slow in (1, 4):
                print("\n".join(measured(browser, daemon.page, slow, asked.seconds)))
            browser.close()


if __name__ == "__main__":
    main()
