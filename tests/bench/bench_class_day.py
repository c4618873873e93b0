"""A class day in minutes: eight hours of classes, with everything that goes wrong in a room, on a clock turned by hand.

Every half hour a class begins: simulated players with different habits, through real seats. Meanwhile chanters are
unplugged and come back, two chanters elsewhere play through links that break and come back, seats are added and taken
away, pages come and go (one never reads), the system's clock is set forward and back, and for a minute nothing can be
written (the process's limit on the size of files; SQLite then reports that it cannot write). At the end: is every rep
that a page was sent in the history, how much memory grew, and what the log says. All of it is simulated.

Run: ``python -m tests.bench.bench_class_day [--hours 8] [--seats 6] [--minutes 8]``
"""

import argparse
import asyncio
import gc
import logging
import resource
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from random import Random

import psutil
from rich.console import Console
from rich.table import Table

from chanterd.hearing.habits import CLASS
from chanterd.hearing.simulated import perform
from chanterd.history.wall_clock import WallTime
from chanterd.music.units import NS_PER_MINUTE, NS_PER_MS, NS_PER_S, Bpm, Ns
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.practice.ladder.class_ladder import ClassRule
from chanterd.serving.daemon import Daemon
from chanterd.serving.wire.frames import Frame
from chanterd.serving.wire.hub import Viewer
from chanterd.serving.wire.topic import Topic
from tests.bench.class_joins import JoinedChanter
from tests.serving.played_seat import BEGIN_NS, HandSource

DRILLS = ("grip from B to C", "taorluath from C to low A", "birl from E", "doubling from D to E")
EACH_NS = 30 * NS_PER_MINUTE
TICK_NS = 100 * NS_PER_MS
SETTLE_S = 60.0
MORNING_NS = 1_790_000_000 * NS_PER_S


class Reading(Viewer):
    """A page that reads all it is sent at once and keeps nothing."""

    def put(self, text: str, *, passing: bool, seat: str | None = None) -> None:
        """Read it."""


class Day:
    """A daemon, its chanters, and what happens to them."""

    def __init__(self, folder: Path, seats: int) -> None:
        self.now_ns, self.set_by_ns = BEGIN_NS, 0
        self.random = Random(1)  # noqa: S311 - play, not secrets
        self.sources: dict[str, HandSource | JoinedChanter] = {}
        self.sources |= {str(place): HandSource(f"chanter {place}") for place in range(1, seats + 1)}
        self.elsewhere = {str(seats + place): JoinedChanter(lambda: Ns(self.now_ns)) for place in (1, 2)}
        self.sources |= self.elsewhere
        sources = [one.source if isinstance(one, JoinedChanter) else one for one in self.sources.values()]
        self.daemon = Daemon(sources, folder, lambda: Ns(self.now_ns), wall=self.wall)
        self.down: dict[str, int] = {}
        self.unplugged: dict[str, int] = {}
        self.viewers: list[Viewer] = []
        self.happened: Counter[str] = Counter()
        self.reps: Counter[str] = Counter()
        self.full_until_ns: int | None = None
        publish = self.daemon.hub.publish

        def counted(frame: Frame) -> None:
            if frame["kind"] == "rep" and frame["final"] and not frame["skipped"]:
                self.reps["sent"] += 1
            if frame["kind"] == "band":
                self.reps["of the band"] += 1
            publish(frame)

        self.daemon.hub.publish = counted  # type: ignore[method-assign] # what every page is sent passes here
        self.daemon.classroom._publish = counted

    def wall(self) -> WallTime:
        """The system's clock, which somebody sets now and then."""
        return WallTime(MORNING_NS + self.now_ns - BEGIN_NS + self.set_by_ns, 0)

    async def until(self, at_ns: int) -> None:
        """Let time pass."""
        while self.now_ns < at_ns:
            self.now_ns = min(self.now_ns + TICK_NS, at_ns)
            for joined in self.elsewhere.values():
                joined.pass_on()
            self.daemon.tick()
        await asyncio.sleep(0)

    async def a_class(self, number: int, minutes: float) -> None:
        """One class; whoever is added plays the rest of it."""
        drill, click_bpm = DRILLS[number % len(DRILLS)], 60.0 + 10 * (number % 5)
        rule = ClassRule(4.0, Bpm(click_bpm + 8), 3, 0.5) if number % 3 == 0 else None
        self.daemon.classroom.begin(resolve(ExerciseWords(drill, click_bpm), self.daemon.tables), rule)
        end_ns = self.now_ns + round(minutes * NS_PER_MINUTE)
        while self.now_ns < end_ns:
            await self.happen()
            await self.play(min(self.now_ns + 20 * NS_PER_S, end_ns))
        self.daemon.classroom.stop()
        await asyncio.sleep(0)
        await asyncio.to_thread(self.daemon.history.writer.settle, SETTLE_S)

    async def play(self, until_ns: int) -> None:
        """Everybody plays what their own run asks, from the next rep on."""
        events = []
        for seat, source in self.sources.items():
            cue = source.cues[-1] if source.cues else None
            if cue is None or seat not in self.daemon.seats:
                continue
            first = max(0, -(-(self.now_ns - cue.beat0_ns) // cue.rep_ns))
            reps = (until_ns - cue.beat0_ns) // cue.rep_ns - first
            habits = CLASS[int(seat) % len(CLASS)][1]
            if reps > 0:
                played, _ = perform(cue, reps, self.random.getrandbits(32), habits)
                start_ns = cue.beat0_ns + first * cue.rep_ns
                events += [(start_ns + at_ns, seat, message) for message, at_ns in played]
        for at_ns, seat, message in sorted(events, key=lambda one: one[:2]):
            await self.until(at_ns)
            self.links()
            if seat not in self.unplugged:
                self.sources[seat].send(message, at_ns)
                await asyncio.sleep(0)
        await self.until(until_ns)

    def links(self) -> None:
        """Links that were broken long enough are back."""
        for seat, back_ns in list(self.down.items()):
            if back_ns <= self.now_ns:
                del self.down[seat]
                self.elsewhere[seat].connect()

    def break_link(self) -> None:
        """A link breaks for up to nine seconds, or the program there is started again."""
        seat = self.random.choice([one for one in self.elsewhere if one in self.daemon.seats] or [""])
        if not seat or seat in self.unplugged or seat in self.down:
            return
        if self.random.random() < 0.1:
            self.elsewhere[seat].again()
            self.happened["joiners started again"] += 1
        else:
            self.elsewhere[seat].cut()
            self.down[seat] = self.now_ns + self.random.randint(1, 9) * NS_PER_S
            self.happened["links broken"] += 1

    async def happen(self) -> None:
        """What goes wrong in twenty seconds of a class."""
        random, daemon = self.random, self.daemon
        for seat, back_ns in list(self.unplugged.items()):
            if back_ns <= self.now_ns:
                del self.unplugged[seat]
                self.sources[seat].status("ready", "plugged in again")
        seat = random.choice(list(daemon.seats))
        if random.random() < 0.15 and seat not in self.unplugged and seat not in self.down:
            self.unplugged[seat] = self.now_ns + random.randint(20, 60) * NS_PER_S
            self.sources[seat].status("gone", "unplugged")
            self.happened["chanters unplugged"] += 1
        if random.random() < 0.3:
            self.break_link()
        if random.random() < 0.04 and len(daemon.seats) < 12:
            source = HandSource(f"chanter of the late {self.happened['seats added']}")
            added = await daemon.room.add(source)
            self.sources[added.id] = source
            self.happened["seats added"] += 1
        elif random.random() < 0.04 and len(daemon.seats) > 3:
            await daemon.room.remove(seat)
            self.unplugged.pop(seat, None)
            self.down.pop(seat, None)
            self.happened["seats taken away"] += 1
        topic = random.choice([Topic(), Topic(wall=True), Topic(desk=True), Topic(seat=seat)])
        kind = Viewer if random.random() < 0.05 else Reading  # one in twenty never reads
        self.viewers.append(kind(lambda: daemon.state(topic), clock=daemon.clock, topic=topic))
        daemon.hub.join(self.viewers[-1])
        self.happened["pages opened"] += 1
        while len(self.viewers) > 20:
            daemon.hub.leave(self.viewers.pop(0))
        if random.random() < 0.02:
            self.set_by_ns += random.choice([-1, 1]) * 3600 * NS_PER_S
            self.happened["the clock set"] += 1
        self.disk()

    def disk(self) -> None:
        """Once in the day, for a minute of it, nothing can be written."""
        if self.full_until_ns is None and self.happened["pages opened"] == 40:
            self.full_until_ns = self.now_ns + NS_PER_MINUTE
            self._limit(1)
            self.happened["disk full for a minute"] += 1
        elif self.full_until_ns is not None and 0 < self.full_until_ns <= self.now_ns:
            time.sleep(1.0)  # the writer's thread has met the full disk by then
            self._limit(resource.RLIM_INFINITY)
            self.full_until_ns = 0

    def _limit(self, bytes_: int) -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (bytes_, resource.RLIM_INFINITY))


def kept(day: Day) -> Counter[str]:
    """What the history has."""
    with day.daemon.history.store.reading() as connection:
        asked = {
            "sent": "SELECT count(*) FROM reps WHERE NOT skipped",
            "of the band": "SELECT count(*) FROM class_reps",
        }
        return Counter({name: int(connection.exec_driver_sql(sql).scalar() or 0) for name, sql in asked.items()})


async def run(day: Day, hours: float, minutes: float, table: Table) -> None:
    """The whole day."""
    process, began = psutil.Process(), time.monotonic()
    day.daemon.start()
    await asyncio.sleep(0)
    for joined in day.elsewhere.values():
        joined.connect()
    for number in range(round(hours * 2)):
        begins_ns = day.now_ns
        await day.a_class(number, minutes)
        await day.until(begins_ns + EACH_NS)
        if number % 2:
            gc.collect()
            figures = (process.memory_info().rss / 1e6, day.reps["sent"], kept(day)["sent"], len(day.daemon.hub))
            row = (f"{(number + 1) / 2:g}", *(f"{one:.0f}" for one in figures), str(threading.active_count()))
            table.add_row(*row, f"{time.monotonic() - began:.0f}")
    await asyncio.to_thread(day.daemon.history.writer.settle, SETTLE_S)


def main() -> None:
    """Run it and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--hours", type=float, default=8)
    parser.add_argument("--seats", type=int, default=6)
    parser.add_argument("--minutes", type=float, default=8)
    asked = parser.parse_args()
    table = Table("hour", "resident MB", "reps sent", "reps kept", "pages", "threads", "took s")
    with tempfile.TemporaryDirectory() as folder, asyncio.Runner() as runner:
        day = Day(Path(folder), asked.seats)
        logged: Counter[str] = Counter()
        watch = logging.Handler()
        troubles: list[str] = []

        def emit(record: logging.LogRecord) -> None:
            logged.update([record.levelname])
            if record.levelno >= logging.WARNING or "again" in record.getMessage():
                troubles.append(record.getMessage())

        watch.emit = emit  # type: ignore[method-assign] # it keeps what is worth reading
        for handler in (day.daemon.logbook, watch):
            logging.getLogger().addHandler(handler)
        logging.getLogger("chanterd").setLevel(logging.INFO)
        runner.run(run(day, asked.hours, asked.minutes, table))
        found = kept(day)
        runner.run(day.daemon.stop())
        console = Console(width=120)
        console.print(table)
        console.print("; ".join(f"{name}: {number}" for name, number in day.happened.items()))
        for name, number in found.items():
            console.print(f"reps {name}: {day.reps[name]}, in the history: {number}, lost: {day.reps[name] - number}")
        console.print(f"log: {dict(logged)}; its warnings and errors, and what was well again:")
        for one in [said for said in troubles if "plugged" not in said][:8]:
            console.print(f"  {one}", soft_wrap=True)


if __name__ == "__main__":
    main()
