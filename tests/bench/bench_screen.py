"""The verdict on the screen: how soon it follows the last step, and whether sentence and picture are of one rep.

The daemon with its simulated player, looked at in the system's Chromium; each animation frame looks at what is drawn:

- from the onset of the theme note, the rep's last step, as the daemon heard it, to the animation frame after the
  verdict was put into the page (the daemon's clock is brought to the page's by the frame with the least delay, as NTP
  picks its samples; RFC 5905);
- of the animation frames with a verdict, the share in which every figure under the steps is one of the same rep;
- of the reps, how many the closed rep gave another verdict than the first one.

Run: ``python -m tests.bench.bench_screen [--seconds 30]``
"""

import argparse
from collections.abc import Sequence
from statistics import median
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright
from rich.console import Console
from rich.table import Table

from tests.bench.bench_page import daemon, share
from tests.browser.conftest import CHROMIUM, FLAGS
from tests.serving.running_daemon import ask

DRILLS = ("grip from B to C", "taorluath from C to low A")
TEMPI = (60.0, 90.0, 120.0, 200.0)
WATCH = """
window.reps = {};
window.shown = [];
window.least = Infinity;
window.agrees = [0, 0];
const Plain = WebSocket;
window.WebSocket = class extends Plain {
  constructor(...args) {
    super(...args);
    this.addEventListener("message", ({ data }) => {
      const frame = JSON.parse(data);
      if (frame.sent_ns) window.least = Math.min(window.least, performance.now() - frame.sent_ns / 1e6);
      const beat0 = frame.practice?.grid.beat0_ns;
      if (frame.kind === "grid") Object.assign(window, { beat0, reps: {}, shown: [], agrees: [0, 0] });
      if (frame.kind === "rep") (window.reps[frame.rep] ??= []).push(frame);
    });
  }
};
const latest = () => Object.values(window.reps).at(-1)?.at(-1);
addEventListener("DOMContentLoaded", () => {
  const verdict = document.querySelector("#verdict");
  new MutationObserver(() => {
    const rep = latest();
    if (!rep || verdict.textContent !== rep.said || window.shown.some((one) => one.rep === rep.rep)) return;
    const one = { rep: rep.rep, theme_ms: rep.steps.at(-1).onset_ms };
    window.shown.push(one);
    requestAnimationFrame(() => (one.at = performance.now()));
  }).observe(verdict, { subtree: true, childList: true, characterData: true });
  const look = () => {
    const rep = Object.values(window.reps).map((all) => all.at(-1)).findLast((one) => one.said === verdict.textContent);
    if (rep) {
      const heard = [rep.lead, ...rep.steps].filter((one) => one.deviation_ms !== null);
      const own = heard.map((one) => String(Math.abs(Math.round(one.deviation_ms))));
      const drawn = [...document.querySelectorAll("#marks .number")].map((number) => number.textContent);
      window.agrees[0] += drawn.length > 0 && drawn.every((number) => own.includes(number)) ? 1 : 0;
      window.agrees[1] += 1;
    }
    requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
});
"""
READ = """() => ({
  delays: window.shown.filter((one) => one.at && one.theme_ms !== null)
    .map((one) => one.at - window.least - window.beat0 / 1e6 - one.theme_ms),
  agrees: window.agrees,
  reps: Object.values(window.reps).map((all) => all.map(({ final, clean, said }) => ({ final, clean, said }))),
})"""


def watched(browser: Browser, address: str) -> Page:
    """The page, ready to practise."""
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.add_init_script(WATCH)
    page.goto(address)
    page.locator("#chanter-name[data-ready]").wait_for(state="attached")
    return page


def played(page: Page, address: str, drill: str, bpm: float, seconds: float) -> Any:
    """What was seen of a run of the simulated player."""
    ask(address, "POST", "api/practice", {"drill": drill, "click_bpm": bpm}).raise_for_status()
    page.wait_for_timeout(1000 * (seconds + 4 * 60 / bpm))
    seen = page.evaluate(READ)
    ask(address, "DELETE", "api/practice")
    page.wait_for_timeout(500)
    return seen


def corrected(reps: Sequence[Any]) -> str:
    """How many reps got another verdict when they were closed, of those that had an early one."""
    early = [rep for rep in reps if len(rep) > 1 and not rep[0]["final"] and rep[-1]["final"]]
    changed = sum(rep[0]["clean"] != rep[-1]["clean"] for rep in early)
    reworded = sum(rep[0]["said"] != rep[-1]["said"] for rep in early)
    return f"{changed} ({reworded} reworded) of {len(early)}"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=30.0)
    seconds = parser.parse_args().seconds
    table = Table("drill", "clicks", "reps", "to the screen p50", "p99", "same rep", "corrected")
    with daemon() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = watched(browser, address)
        for drill in DRILLS:
            for bpm in TEMPI:
                seen = played(page, address, drill, bpm, seconds)
                delays, (same, of) = seen["delays"], seen["agrees"]
                timed = [f"{median(delays):.0f} ms", f"{share(delays, 0.99):.0f} ms"] if delays else ["-", "-"]
                together = f"{100 * same / max(1, of):.1f} %"
                table.add_row(drill, f"{bpm:g}", str(len(delays)), *timed, together, corrected(seen["reps"]))
        browser.close()
    Console(width=110).print(table)


if __name__ == "__main__":
    main()
