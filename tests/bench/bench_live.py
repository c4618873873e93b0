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
import contextlib
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
from chanterd.music.note import note_from_words
from chanterd.music.units import NS_PER_MS
from tests.jack_server import JackServer, VirtualChanter
from tests.serving.running_daemon import Frame, Program, Viewing, ask, wait_until
from tests.system_packages import chromium

DRILL = "taorluath from C to low A"
NOTES = 6
"""The note before, the four steps, the theme note."""
LEAD_IN_NS = 300 * NS_PER_MS
NOTE_ON = 0x90
EARLY_NS, LATE_NS = 2 * NS_PER_MS, 1000 * NS_PER_MS
"""A stamp is at most this much before or after the moment its note was sent."""
GRACE_S = 3.0
"""How long the last notes may take before they count as lost."""
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

    def onsets(self, sent_ns: Sequence[int]) -> list[tuple[int, int]]:
        """Each note-on: its MIDI number and when it was really sent."""
        sent = zip(sent_ns, self.messages, strict=True)
        return [(data[1], at_ns) for at_ns, (_, data) in sent if data[0] == NOTE_ON]


@dataclass(frozen=True, slots=True)
class Came:
    """A note that came out at the other end."""

    midi: int
    stamp_ns: int
    at_ns: int


def matched(came: Sequence[Came], sent: Sequence[tuple[int, int]]) -> list[tuple[Came, int]]:
    """Each note that came with when it was sent, by number and stamp: a sound server may drop one on a busy machine."""
    pairs, first = [], 0
    for one in came:
        for index in range(first, len(sent)):
            midi, sent_ns = sent[index]
            if midi == one.midi and -EARLY_NS <= one.stamp_ns - sent_ns <= LATE_NS:
                pairs.append((one, sent_ns))
                first = index + 1
                break
    return pairs


def line(steps: Sequence[tuple[str, float]], rep_ns: float, begin_ns: int, reps: int, seed: int) -> Line:
    """``count`` reps of a drill's (note, offset in ns), a few ms off, each note let go as the next one begins."""
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
        messages.append((at_ns, (NOTE_ON, midi, 64)))
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
    came: list[Came] = []
    until_ns = notes.messages[-1][0] + round(GRACE_S * 1e9)
    wanted = sum(data[0] == NOTE_ON for _, data in notes.messages)
    while len(came) < wanted and (now_ns := time.perf_counter_ns()) < until_ns:
        message = client.read()
        if message and message[0][0] == NOTE_ON:
            came.append(Came(message[0][1], now_ns, time.perf_counter_ns()))
    client.close()
    pairs = matched(came, notes.onsets(chanter.sent(number)))
    return [(one.at_ns - sent_ns) / NS_PER_MS for one, sent_ns in pairs]


def through_the_daemon(page: str, chanter: VirtualChanter, click_bpm: float, reps: int) -> dict[str, list[float]]:
    """What each note took, in parts and as a whole, in ms."""
    with Viewing(page, json.loads) as viewing:
        wait_until(lambda: ask(page, "GET", "api/state").json()["seats"][0]["chanter"]["state"] == "ready")
        practice = ask(page, "POST", "api/practice", {"drill": DRILL, "click_bpm": click_bpm}).raise_for_status().json()
        steps, rep_ns = steps_of(practice)
        notes = line(steps, rep_ns, practice["grid"]["beat0_ns"], reps, seed=1)
        sent = notes.onsets(chanter.play(notes.messages))
        with contextlib.suppress(AssertionError):  # what was lost never comes
            wait_until(lambda: sum(is_note(frame) for frame in viewing.frames) >= len(sent), GRACE_S)
        ask(page, "DELETE", "api/practice")
        frames = list(zip(viewing.frames, viewing.arrivals_ns, strict=False))
    came = [Came(midi_of(frame), frame["at_ns"], at_ns) for frame, at_ns in frames if is_note(frame)]
    pairs = matched(came, sent)
    sent_at = {one.stamp_ns: sent_ns for one, sent_ns in pairs}
    # Of the steps that an onset brought the last one counts.
    steps_came = {
        frame["heard_ns"]: (frame["sent_ns"], at_ns)
        for frame, at_ns in frames
        if frame["kind"] == "step" and not frame["final"] and frame["heard_ns"] in sent_at
    }
    timed = [(sent_at[stamp], stamp, judged, at_ns) for stamp, (judged, at_ns) in steps_came.items()]
    return {
        "send to note frame": [(one.at_ns - sent_ns) / NS_PER_MS for one, sent_ns in pairs],
        "send to step frame": [(at_ns - sent_ns) / NS_PER_MS for sent_ns, _, _, at_ns in timed],
        "  of it: send to stamp": [(stamp - sent_ns) / NS_PER_MS for sent_ns, stamp, _, _ in timed],
        "  stamp to judged": [(judged - stamp) / NS_PER_MS for _, stamp, judged, _ in timed],
        "  judged to client": [(at_ns - judged) / NS_PER_MS for _, _, judged, at_ns in timed],
    }


def is_note(frame: Frame) -> bool:
    """Whether the frame says that a note begins."""
    return bool(frame["kind"] == "note" and frame["note"])


def midi_of(frame: Frame) -> int:
    """The written pitch of its note."""
    return note_from_words(frame["note"]).midi


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
    table = Table(title=f"{asked.reps} reps of {DRILL} at {asked.click_bpm:g}, {NOTES * asked.reps} notes sent; ms")
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
