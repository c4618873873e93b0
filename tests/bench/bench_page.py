"""The page while somebody plays: frame times, and what it takes to have it ready.

The daemon with its simulated player, looked at in the system's Chromium, with its processor as it is and slowed down
four times (the browser's own throttling). A frame's time is the time from one animation frame to the next; a screen of
60 Hz has 16.7 ms for each. Beside it, as a named peer, the same browser with an empty page. Bytes are those of all
answers until the page is ready to practise, as the browser counts them.

    python -m tests.bench.bench_page [--seconds 20]
"""

import argparse
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, CDPSession, Page, sync_playwright

from tests.browser.conftest import CHROMIUM, FLAGS

PORT = 8991
ROUNDS = (1, 4)
FRAMES = """(seconds) => new Promise((done) => {
  const gaps = [];
  let last = null;
  const until = performance.now() + seconds * 1000;
  const frame = (now) => {
    if (last !== null) gaps.push(now - last);
    last = now;
    if (now < until) requestAnimationFrame(frame);
    else done(gaps);
  };
  requestAnimationFrame(frame);
})"""
BYTES = """() => [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
  .reduce((sum, one) => sum + one.transferSize, 0)"""


def share(gaps: list[float], part: float) -> float:
    """The gap that this part of all gaps is not longer than, in ms."""
    return sorted(gaps)[min(int(part * len(gaps)), len(gaps) - 1)]


@contextmanager
def daemon() -> Iterator[str]:
    """A daemon with the simulated player; its address."""
    with tempfile.TemporaryDirectory() as data:
        words = ["serve", "--input", "demo", "--no-open", "--port", str(PORT), "--data", data]
        process = subprocess.Popen([sys.executable, "-m", "chanterd", *words], stdout=subprocess.DEVNULL)
        address = f"http://127.0.0.1:{PORT}/"
        try:
            while True:
                try:
                    urllib.request.urlopen(address).close()
                    break
                except OSError:
                    time.sleep(0.1)
            yield address
        finally:
            process.terminate()
            process.wait()


def busy_s(session: CDPSession) -> float:
    """How long the page's main thread has worked so far."""
    metrics = {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}
    return float(metrics["TaskDuration"])


def measured(page: Page, name: str, slow: int, seconds: float) -> str:
    """A row of the table: the times between frames, and the main thread's share of the time, ``slow`` times slower."""
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable")
    session.send("Emulation.setCPUThrottlingRate", {"rate": slow})
    before_s, began = busy_s(session), time.perf_counter()
    gaps: list[float] = page.evaluate(FRAMES, seconds)
    busy = (busy_s(session) - before_s) / (time.perf_counter() - began)
    figures = f"{share(gaps, 0.5):8.1f}{share(gaps, 0.99):8.1f}{max(gaps):8.1f}{len(gaps):8d}{100 * busy:7.0f}%"
    return f"{name}, {slow}x slower".ljust(28) + figures


def ready(browser: Browser, address: str) -> str:
    """Time and bytes until the page can be practised with, the stave drawn, in a browser that has nothing of it yet."""
    page = browser.new_context().new_page()
    began = time.perf_counter()
    page.goto(address)
    page.locator("#chanter-name[data-ready]").wait_for(state="attached")
    there_s = time.perf_counter() - began
    page.locator("#asked-staff svg").wait_for(state="attached")
    staff_s = time.perf_counter() - began
    size = page.evaluate(BYTES)
    page.context.close()
    return f"ready after {there_s * 1000:.0f} ms, stave after {staff_s * 1000:.0f} ms, {size / 1000:.0f} kB"


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=20.0)
    seconds = parser.parse_args().seconds
    with daemon() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        print("first visit: ", ready(browser, address))
        print("second visit:", ready(browser, address))
        print(f"\n{'ms between frames':<28}{'p50':>8}{'p99':>8}{'most':>8}{'frames':>8}{'busy':>8}")
        for slow in ROUNDS:
            empty = browser.new_page()
            print(measured(empty, "an empty page", slow, seconds / 4))
            empty.close()
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            page.goto(address)
            page.locator("#chanter-name[data-ready]").wait_for(state="attached")
            page.keyboard.press("Space")
            page.locator("#verdict:not(:empty)").wait_for(timeout=30_000)
            print(measured(page, "while playing", slow, seconds))
            page.keyboard.press("Space")
            page.close()
        browser.close()


if __name__ == "__main__":
    main()
