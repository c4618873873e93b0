"""How long the progress view takes to open, on simulated daily practice of one year and of ten.

For each span: the daemon's answer by itself, asked over HTTP; and on the page, from the key that opens the view (or the
click on another span) to the frame in which the pictures have been painted, in Chromium. Beside them in the same run:
the processor time of the answer, and a bare answer that reads no history (``/api/state``), which shows how busy the
machine is. All in ms.

Run: ``python -m tests.bench.bench_progress [--days N ...] [--times N]``
"""

import argparse
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from statistics import median

from playwright.sync_api import Browser, sync_playwright
from rich.console import Console
from rich.table import Table

from chanterd.history.answers import Span
from chanterd.history.players import Player, player_of
from chanterd.progress.progress import progress_of
from chanterd.serving.daemon import Daemon
from tests.browser.conftest import CHROMIUM, FLAGS
from tests.progress.simulated_history import practise_days
from tests.serving.played_seat import HandSource
from tests.serving.running_daemon import ask, served

FIRST_SPAN = "3 months"
SPANS = {FIRST_SPAN: 91, "a year": 365, "all": None}
PAINTED = """([span, from]) => new Promise((done) => {
  const view = document.querySelector("#progress");
  const began = performance.now();
  new MutationObserver((_, watch) => {
    if (view.dataset.from !== from) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => done(performance.now() - began)));
  }).observe(view, {attributes: true, attributeFilter: ["data-from"]});
  if (span === null) location.hash = "#progress";
  else document.querySelector(`[data-span="${span}"]`).click();
})"""


def first_day(today: date, days: int | None) -> str | None:
    """The first of this many days that end today; None: all."""
    return None if days is None else (today - timedelta(days=days - 1)).isoformat()


def timed(act: Callable[[], object], times: int, clock: Callable[[], float] = time.perf_counter) -> float:
    """The median of that many measurements, ms."""
    taken = []
    for _ in range(times):
        began = clock()
        act()
        taken.append((clock() - began) * 1000)
    return median(taken)


def painted(browser: Browser, address: str, today: date, span: str, times: int) -> float:
    """From the key or the click to the painted pictures, ms; a new page each time, so that nothing is kept."""
    taken = []
    for _ in range(times):
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        page = context.new_page()
        page.goto(address)
        page.locator("#chanter-name[data-told]").wait_for()
        page.wait_for_load_state("networkidle")  # a page that has been open for a while, as a player's is
        shown = page.evaluate(PAINTED, [None, first_day(today, SPANS[FIRST_SPAN])])
        if span != FIRST_SPAN:
            shown = page.evaluate(PAINTED, [span, first_day(today, SPANS[span]) or ""])
        taken.append(float(shown))
        context.close()
    return median(taken)


def sitting(daemon: Daemon) -> Player:
    """Whoever sits at the only chanter."""
    with daemon.history.store.reading() as connection:
        return player_of(connection, daemon.seats["1"].player.number)


def measured(browser: Browser, days: int, times: int, table: Table) -> None:
    """Add a row for each span of a history of that many days."""
    today = datetime.now(UTC).date()
    with tempfile.TemporaryDirectory() as folder, served(Path(folder), [HandSource()]) as (page, daemon):
        person = sitting(daemon)
        runs = practise_days(daemon.history.store, person, days, today, share=1.0)
        for span, of in SPANS.items():
            first = first_day(today, of)
            path = f"api/progress?to={today}" + (f"&from={first}" if first else "")

            def look(first: str | None = first) -> None:
                with daemon.history.store.reading() as connection:
                    progress_of(connection, person, Span(first, today.isoformat()), daemon.tables.standards)

            size = len(ask(page, "GET", path).content)
            answer = timed(lambda path=path: ask(page, "GET", path), times)  # type: ignore[misc]  # bound at once
            computing = timed(look, times, time.thread_time)
            paint = painted(browser, page, today, span, times)
            bare = timed(lambda: ask(page, "GET", "api/state"), times)
            figures = [f"{one:.0f}" for one in (answer, computing, size, paint, bare)]
            table.add_row(f"{days} days, {runs} runs", span, *figures)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, nargs="+", default=[365, 3650])
    parser.add_argument("--times", type=int, default=7)
    options = parser.parse_args()
    table = Table("simulated practice", "span", "answer", "of it computing", "bytes", "key to paint", "bare answer")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        for days in options.days:
            measured(browser, days, options.times, table)
        browser.close()
    Console(width=120).print(table)


if __name__ == "__main__":
    main()
