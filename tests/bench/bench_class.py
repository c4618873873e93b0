"""A class under load: from MIDI written to the seat's ``step`` frame, with processor time and memory, by size.

The daemon is a program of its own, as a teacher runs it; each chanter is a FIFO of MIDI bytes, written by a second
process; the viewers are a third: a page for each seat, as many walls as make up the number, and a desk. All of it is
simulated playing of a taorluath at 200 clicks. For each step frame the time counts from the write of the note that
brought it. Beside it, as a peer: the same bytes through a bare FIFO into a Python reader that does nothing else.

A machine that does other work too makes the slowest notes slower; the last table does not depend on it: how much
processor time the event loop needs in one go.

Run: ``python -m tests.bench.bench_class [--seats 1 10 20 40] [--viewers 60] [--reps 60] [--click-bpm 200]``
"""

import argparse
import asyncio
import contextlib
import json
import multiprocessing
import os
import tempfile
import threading
import time
from collections.abc import Sequence
from multiprocessing.connection import Connection
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
import psutil
from rich.console import Console
from rich.table import Table
from websockets.asyncio.client import connect

from chanterd.music.units import NS_PER_MS, NS_PER_S
from tests.bench.bench_live import NOTE_ON, line, steps_of
from tests.bench.class_work import work
from tests.serving.running_daemon import Program, ask

DRILL = "taorluath from C to low A"
SPREAD_MS = 15.0
"""How far apart the simulated players are, a standard deviation."""
LATE_NS = 1000 * NS_PER_MS
GRACE_S = 4.0
SLEEP_S = 0.0003
WORK_REPS = 30
Sent = dict[str, list[tuple[int, int]]]
"""By seat: the number of each note-on and when it was written."""


def write_all(fifos: Sequence[Path], pipe: Connection) -> None:
    """Hold the FIFOs open; play each list of (due, place, bytes), and answer when each note-on was written."""
    files = [os.open(path, os.O_WRONLY) for path in fifos]
    pipe.send("open")
    while (events := pipe.recv()) is not None:
        sent: Sent = {str(place): [] for place in range(1, len(fifos) + 1)}
        for due_ns, place, data in events:
            while (left_ns := due_ns - time.perf_counter_ns()) > 0:
                time.sleep(min(SLEEP_S, left_ns / NS_PER_S))
            at_ns = time.perf_counter_ns()
            os.write(files[place], bytes(data))
            if data[0] == NOTE_ON:
                sent[str(place + 1)].append((data[1], at_ns))
        pipe.send(sent)
    for one in files:
        os.close(one)


def watch_all(page: str, topics: Sequence[str], pipe: Connection) -> None:
    """Open a viewer for each topic; at the end send what each seat's own page got: steps and notes with their times."""
    asyncio.run(_watch_all(page, topics, pipe))


async def _watch_all(page: str, topics: Sequence[str], pipe: Connection) -> None:
    got: dict[str, list[tuple[str, int, int]]] = {}
    frames = [0] * len(topics)

    async def view(number: int, topic: str) -> None:
        mine = got.setdefault(topic, []) if "seat=" in topic else None
        async with connect(page.replace("http://", "ws://") + "live" + topic, max_size=None) as socket:
            opened.release()
            async for text in socket:
                at_ns = time.perf_counter_ns()
                frames[number] += 1
                if mine is None:
                    continue
                frame = json.loads(text)
                if frame["kind"] == "step" and not frame["final"]:
                    mine.append(("step", frame["heard_ns"], at_ns))
                elif frame["kind"] == "note" and frame["note"]:
                    mine.append(("note", frame["at_ns"], at_ns))

    opened = asyncio.Semaphore(0)
    tasks = [asyncio.create_task(view(number, topic)) for number, topic in enumerate(topics)]
    for _ in topics:
        await opened.acquire()
    pipe.send("open")
    await asyncio.to_thread(pipe.recv)
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)
    pipe.send((got, frames))


def events_of(practice: Any, seats: int, reps: int) -> list[tuple[int, int, tuple[int, int, int]]]:
    """Everything that all seats play, in order of time: when it is due, whose it is, its bytes."""
    steps, rep_ns = steps_of(practice)
    random, beat0_ns = Random(1), practice["grid"]["beat0_ns"]  # noqa: S311 - play, not secrets
    events: list[tuple[int, int, tuple[int, int, int]]] = []
    for place in range(seats):
        off_ns = round(random.gauss(0, SPREAD_MS) * NS_PER_MS)
        events += [(at, place, data) for at, data in line(steps, rep_ns, beat0_ns + off_ns, reps, place).messages]
    return sorted(events)


def latencies(got: Sequence[tuple[str, int, int]], sent: Sequence[tuple[int, int]], kind: str) -> list[float]:
    """Ms from the write of a note to the first frame of that kind that it brought, for each note that brought one."""
    writes = np.array([at_ns for _, at_ns in sent])
    found: dict[int, int] = {}
    for name, heard_ns, at_ns in got:
        index = int(np.searchsorted(writes, heard_ns, side="right")) - 1
        if name == kind and index >= 0 and heard_ns - writes[index] <= LATE_NS:
            found.setdefault(index, at_ns)
    return [(at_ns - int(writes[index])) / NS_PER_MS for index, at_ns in found.items()]


def measure(seats: int, viewers: int, reps: int, click_bpm: float) -> list[str]:
    """One class; the figures as a row of the table."""
    context = multiprocessing.get_context("spawn")
    with tempfile.TemporaryDirectory() as folder, contextlib.ExitStack() as opened:
        fifos = [Path(folder) / f"chanter-{number}" for number in range(1, seats + 1)]
        words = ["--port", "0", "--data", str(Path(folder) / "data")]
        for number, path in enumerate(fifos, 1):
            os.mkfifo(path)
            words += ["--input", f"P{number}=raw:{path}"]
        daemon = opened.enter_context(Program(words))
        player, ours = context.Pipe(), context.Pipe()
        sender = context.Process(target=write_all, args=(fifos, player[1]))
        topics = [f"?seat={number}" for number in range(1, seats + 1)][:viewers]
        topics += ["?desk"] * (len(topics) < viewers)
        topics += ["?wall"] * (viewers - len(topics))
        watcher = context.Process(target=watch_all, args=(daemon.page, topics, ours[1]))
        for helper in (sender, watcher):
            helper.start()
        player[0].recv()
        ours[0].recv()
        practice = (
            ask(daemon.page, "POST", "api/class", {"drill": DRILL, "click_bpm": click_bpm}).raise_for_status().json()
        )
        process = psutil.Process(daemon.process.pid)
        before, began = process.cpu_times(), time.monotonic()
        player[0].send(events_of(practice, seats, reps))
        sent: Sent = player[0].recv()
        after, took_s = process.cpu_times(), time.monotonic() - began
        memory = process.memory_info().rss / 1e6
        time.sleep(GRACE_S)
        ours[0].send("end")
        got, frames = ours[0].recv()
        player[0].send(None)
        for helper in (sender, watcher):
            helper.join()
        ask(daemon.page, "DELETE", "api/class")
    steps_ms = [ms for seat in sent for ms in latencies(got.get(f"?seat={seat}", []), sent[seat], "step")]
    notes = sum(kind == "note" for seat in sent for kind, _, _ in got.get(f"?seat={seat}", []))
    written = sum(map(len, sent.values()))
    busy = after.user + after.system - before.user - before.system
    walls = [count for topic, count in zip(topics, frames, strict=True) if topic == "?wall"]
    return [
        f"{seats}",
        f"{len(topics)}",
        f"{written}",
        f"{written - notes}",
        *(f"{float(np.percentile(steps_ms, share)):.2f}" for share in (50, 99, 100)),
        f"{100 * busy / took_s:.0f} %",
        f"{1000 * busy / written:.2f}",
        f"{memory:.0f}",
        f"{max(walls, default=0) / (took_s + GRACE_S):.1f}",
    ]


def bare(reps: int, click_bpm: float) -> list[str]:
    """The peer: one FIFO, one reader."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "fifo"
        os.mkfifo(path)
        pipe = multiprocessing.get_context("spawn").Pipe()
        sender = multiprocessing.get_context("spawn").Process(target=write_all, args=([path], pipe[1]))
        sender.start()
        came: list[int] = []

        def read() -> None:
            with path.open("rb", buffering=0) as file:
                while data := file.read(3):
                    if data[0] == NOTE_ON:
                        came.append(time.perf_counter_ns())

        reader = threading.Thread(target=read)
        reader.start()
        pipe[0].recv()
        grid = {"click_bpm": click_bpm, "ornament_beat": 1, "clicks_per_rep": 2}
        practice = {
            "asked": {"lead": "C", "steps": [{"note": "low G", "offset_ms": -100.0, "sounds": True}]},
            "grid": {**grid, "beat0_ns": time.perf_counter_ns() + NS_PER_S},
        }
        pipe[0].send(events_of(practice, 1, reps))
        sent = pipe[0].recv()["1"]
        pipe[0].send(None)
        sender.join()
        reader.join()
    times = [(at_ns - sent_ns) / NS_PER_MS for at_ns, (_, sent_ns) in zip(came, sent, strict=True)]
    figures = [f"{float(np.percentile(times, share)):.2f}" for share in (50, 99, 100)]
    return ["bare FIFO", "", f"{len(sent)}", "0", *figures, "", "", "", ""]


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--seats", type=int, nargs="+", default=[1, 10, 20, 40])
    parser.add_argument("--viewers", type=int, default=60)
    parser.add_argument("--reps", type=int, default=60)
    parser.add_argument("--click-bpm", type=float, default=200.0)
    asked = parser.parse_args()
    load, cores = os.getloadavg()[0], os.cpu_count()
    table = Table(title=f"{DRILL} at {asked.click_bpm:g}, {asked.reps} reps; {cores} cores, load {load:.1f} before; ms")
    columns = (
        "seats",
        "viewers",
        "notes",
        "lost",
        "p50",
        "p99",
        "most",
        "processor",
        "ms a note",
        "MB",
        "wall frames/s",
    )
    for column in columns:
        table.add_column(column, justify="right")
    table.add_row(*bare(asked.reps, asked.click_bpm))
    for seats in asked.seats:
        table.add_row(*measure(seats, asked.viewers, asked.reps, asked.click_bpm))
    console = Console(width=140)
    console.print(table)
    own = Table(title=f"the event loop's own work in one go with {asked.seats[-1]} seats, ms of processor time")
    for column in ("", "times", "p50", "p99", "p99.9", "most"):
        own.add_column(column, justify="left" if column == "" else "right")
    for name, times_ms in work(DRILL, asked.seats[-1], asked.viewers, WORK_REPS, asked.click_bpm).items():
        figures = (f"{float(np.percentile(times_ms, share)):.2f}" for share in (50, 99, 99.9, 100))
        own.add_row(name, str(len(times_ms)), *figures)
    console.print(own)


if __name__ == "__main__":
    main()
