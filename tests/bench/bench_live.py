"""How long from a note sent to its frame on ``/live``, and from a frame to paint in the browser.

A chanter in another process sends through JACK's dummy driver (64 frames at 48 kHz: up to 1.33 ms to the next cycle)
into the daemon, a program of its own, as a player runs it; a WebSocket client here notes when each frame has come.
Beside it in the same run, as a named peer: a bare loopback with python-rtmidi, the same sender and the same notes, read
by a loop that does nothing but ask for the next message. What is above it is ours.

Paint: from the arrival of a step frame in the page's WebSocket to the first animation frame after the marks of the
strip have changed, when that change is on the screen (headless Chromium, 60 animation frames a second).

Run: ``python -m tests.bench.bench_live [--reps N] [--click-bpm BPM] [--no-page]``
"""

import argparse
import json
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
from playwright.sync_api import sync_playwright
from rich.console import Console
from rich.table import Table

from chanterd.hearing.driver import API_NAMED, open_client
from chanterd.trade.note import note_from_words
from chanterd.trade.units import NS_PER_MS
from tests.jack import JackServer, VirtualChanter
from tests.machine import chromium
from tests.serving.running import Frame, Program, Viewing, ask, wait_until

DRILL = "taorluath from C to low A"
LEAD_IN_NS = 300 * NS_PER_MS
WATCH_PAINT = """
window.painted = [];
const Plain = WebSocket;
window.WebSocket = class extends Plain {
  constructor(...args) {
    super(...args);
    this.addEventListener("message", ({ data }) => {
      const frame = JSON.parse(data);
      if (frame.kind === "step" && !frame.final && frame.onset_ms !== null) window.came ??= performance.now();
    });
  }
};
addEventListener("DOMContentLoaded", () => new MutationObserver(() => {
  if (window.came === undefined) return;
  const came = window.came;
  window.came = undefined;
  requestAnimationFrame(() => window.painted.push(performance.now() - came));
}).observe(document.querySelector("#marks"), { subtree: true, childList: true, attributes: true }));
"""


@dataclass(frozen=True, slots=True)
class Line:
    """What is sent: messages with the time each is due."""

    messages: tuple[tuple[int, tuple[int, int, int]], ...]

    def onsets(self, sent_ns: Sequence[int]) -> list[int]:
        """When each note-on was really sent."""
        return [at for at, (_, data) in zip(sent_ns, self.messages, strict=True) if data[0] == 0x90]


def line(steps: Sequence[tuple[str, float]], rep_ns: float, begin_ns: int, reps: int, seed: int) -> Line:
    """So many reps of a drill's (note, offset in ns), a few ms off, each note let go as the next one begins."""
    random = Random(seed)  # noqa: S311 - play, not secrets
    played = [
        (round(begin_ns + rep * rep_ns + offset + random.gauss(0, 3 * NS_PER_MS)), note_from_words(note).midi)
        for rep in range(reps)
        for note, offset in steps
    ]
    messages: list[tuple[int, tuple[int, int, int]]] = []
    for index, (at_ns, midi) in enumerate(played):
        if index:
            messages.append((at_ns, (0x80, played[index - 1][1], 0)))
        messages.append((at_ns, (0x90, midi, 64)))
    messages.append((played[-1][0] + 100 * NS_PER_MS, (0x80, played[-1][1], 0)))
    return Line(tuple(messages))


def steps_of(practice: Any) -> tuple[list[tuple[str, float]], float]:
    """The drill's notes with their offsets from the start of the rep, and the rep's length, in ns."""
    asked, grid = practice["asked"], practice["grid"]
    click_ns = 60e9 / grid["click_bpm"]
    beat_ns = grid["ornament_beat"] * click_ns
    steps = [(asked["lead"], 0.0)]
    steps += [(step["note"], beat_ns + step["offset_ms"] * NS_PER_MS) for step in asked["steps"] if step["sounds"]]
    return steps, grid["clicks_per_rep"] * click_ns


def loopback(chanter: VirtualChanter, notes: Line) -> list[float]:
    """The peer: ms from send to poll for each note-on, with nothing in between but RtMidi."""
    client = open_client(API_NAMED["JACK"])
    client.open(client.ports().index(chanter.port))
    number = chanter.send(notes.messages)
    arrivals: list[int] = []
    until = notes.messages[-1][0] + 2000 * NS_PER_MS
    wanted = sum(data[0] == 0x90 for _, data in notes.messages)
    while len(arrivals) < wanted and time.perf_counter_ns() < until:
        message = client.read()
        if message and message[0][0] == 0x90:
            arrivals.append(time.perf_counter_ns())
    client.close()
    return in_ms(arrivals, notes.onsets(chanter.sent(number)))


def in_ms(later: Sequence[int], earlier: Sequence[int]) -> list[float]:
    """The differences, pair by pair. Raises ValueError if something was lost."""
    return [(one - other) / NS_PER_MS for one, other in zip(later, earlier, strict=True)]


def through_the_daemon(page: str, chanter: VirtualChanter, click_bpm: float, reps: int) -> dict[str, list[float]]:
    """What each note took, in parts and as a whole, in ms."""
    with Viewing(page, json.loads) as viewing:
        wait_until(lambda: ask(page, "GET", "api/state").json()["players"][0]["chanter"]["state"] == "ready")
        practice = ask(page, "POST", "api/practice", {"drill": DRILL, "click_bpm": click_bpm}).json()
        steps, rep_ns = steps_of(practice)
        notes = line(steps, rep_ns, practice["grid"]["beat0_ns"], reps, seed=1)
        sent_ns = notes.onsets(chanter.play(notes.messages))
        wait_until(lambda: len(heard(viewing.frames)) >= len(sent_ns))
        ask(page, "DELETE", "api/practice")
        frames, arrivals = list(viewing.frames), list(viewing.arrivals_ns)
    came = [
        (frame, at) for frame, at in zip(frames, arrivals, strict=False) if frame["kind"] == "note" and frame["note"]
    ]
    sent = {frame["at_ns"]: at for (frame, _), at in zip(came, sent_ns, strict=True)}
    # Of the steps that an onset brought the last one counts.
    steps_came = {
        frame["heard_ns"]: (frame, at)
        for frame, at in zip(frames, arrivals, strict=False)
        if frame["kind"] == "step" and not frame["final"] and frame["heard_ns"] in sent
    }
    told = [(frame, at, sent[stamp]) for stamp, (frame, at) in steps_came.items()]
    return {
        "send to note frame": in_ms([at for _, at in came], sent_ns),
        "send to step frame": in_ms([at for _, at, _ in told], [at for *_, at in told]),
        "  of it: send to stamp": in_ms([frame["heard_ns"] for frame, *_ in told], [at for *_, at in told]),
        "  stamp to judged": in_ms([frame["sent_ns"] for frame, *_ in told], [frame["heard_ns"] for frame, *_ in told]),
        "  judged to client": in_ms([at for _, at, _ in told], [frame["sent_ns"] for frame, *_ in told]),
    }


def heard(frames: Sequence[Frame]) -> list[Frame]:
    """The notes among the frames."""
    return [frame for frame in frames if frame["kind"] == "note" and frame["note"]]


def to_paint(page: str, chanter: VirtualChanter, click_bpm: float, reps: int) -> list[float]:
    """Ms from a step frame's arrival in the page to the animation frame after its marks were changed."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox", "--disable-gpu"])
        window = browser.new_page(viewport={"width": 1280, "height": 800})
        window.add_init_script(WATCH_PAINT)
        window.goto(page)
        window.wait_for_selector("#toggle")
        through_the_daemon(page, chanter, click_bpm, reps)
        painted: list[float] = window.evaluate("window.painted")
        browser.close()
    return painted


def row(table: Table, name: str, times_ms: Sequence[float]) -> None:
    """One line of figures."""
    figures: list[Callable[[Sequence[float]], float]] = [
        lambda ms: float(np.percentile(ms, 50)), lambda ms: float(np.percentile(ms, 99)), max,
    ]  # fmt: skip
    table.add_row(name, str(len(times_ms)), *(f"{figure(times_ms):.2f}" if times_ms else "-" for figure in figures))


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--reps", type=int, default=100)
    parser.add_argument("--click-bpm", type=float, default=200.0)
    parser.add_argument("--no-page", action="store_true")
    asked = parser.parse_args()
    table = Table(title=f"{asked.reps} reps of {DRILL} at {asked.click_bpm:g}; ms")
    for column in ("", "notes", "p50", "p99", "most"):
        table.add_column(column, justify="left" if column == "" else "right")
    with JackServer() as server, VirtualChanter() as chanter, tempfile.TemporaryDirectory() as folder:
        words = ["--input", chanter.port, "--port", "0", "--data", str(Path(folder))]
        with Program(words, server.env) as daemon:
            parts = through_the_daemon(daemon.page, chanter, asked.click_bpm, asked.reps)
            practice = ask(daemon.page, "POST", "api/practice", {"drill": DRILL, "click_bpm": asked.click_bpm}).json()
            ask(daemon.page, "DELETE", "api/practice")
            paint = [] if asked.no_page else to_paint(daemon.page, chanter, asked.click_bpm, asked.reps // 4)
        steps, rep_ns = steps_of(practice)
        bare = line(steps, rep_ns, time.perf_counter_ns() + LEAD_IN_NS, asked.reps, seed=1)
        row(table, "python-rtmidi alone, send to poll", loopback(chanter, bare))
    for name, times_ms in parts.items():
        row(table, name, times_ms)
    if not asked.no_page:
        row(table, "step frame to paint", paint)
    Console().print(table)


if __name__ == "__main__":
    main()
