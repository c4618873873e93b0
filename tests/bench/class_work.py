"""How much processor time the event loop needs in one go for a class: what holds a note up on a machine that is idle.

Counted by the thread's own processor time, so that other programs on the machine do not change it. Time is turned by
hand; the playing is simulated.
"""

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from chanterd.hearing.habits import CLASS
from chanterd.hearing.simulated import perform
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.serving.wire.hub import Viewer
from chanterd.serving.wire.topic import Topic
from tests.serving.played_seat import HandSource, Sitting

TICK_NS = 20 * NS_PER_MS


class Reading(Viewer):
    """A page that reads all it is sent at once and keeps nothing."""

    def put(self, text: str, *, passing: bool, seat: str | None = None) -> None:
        """Read it."""


def work(drill: str, seats: int, viewers: int, reps: int, click_bpm: float) -> dict[str, list[float]]:
    """Ms of each piece of work that nothing can come between: a message heard, a seat's tick, the class's."""
    found: dict[str, list[float]] = {"a message heard": [], "a seat given the time": [], "the class given the time": []}

    def timed(name: str, act: Callable[[], object]) -> None:
        began = time.thread_time()
        act()
        found[name].append((time.thread_time() - began) * 1000)

    with tempfile.TemporaryDirectory() as folder:
        hands = [HandSource(f"hand {place}") for place in range(1, seats + 1)]
        with Sitting(Path(folder), hands) as sitting:
            daemon = sitting.daemon
            for notebook in list(daemon.hub._viewers):
                daemon.hub.leave(notebook)
            for place in range(viewers):
                topic = Topic(seat=str(place + 1)) if place < seats else Topic(wall=True)
                daemon.hub.join(Reading(daemon.state, topic=topic))
            daemon.classroom.begin(resolve(ExerciseWords(drill, click_bpm), daemon.tables))
            cue = sitting.cue()
            events = [
                (cue.beat0_ns + at_ns, place, message)
                for place in range(seats)
                for message, at_ns in perform(cue, reps, place, CLASS[place % len(CLASS)][1])[0]
            ]
            events.sort(key=lambda event: event[:2])
            for at_ns, place, message in events:
                while sitting.now_ns < at_ns:
                    sitting.now_ns = Ns(min(sitting.now_ns + TICK_NS, at_ns))
                    for seat in daemon.seats.values():
                        timed("a seat given the time", seat.tick)
                    timed("the class given the time", lambda: daemon.classroom.tick(Ns(sitting.now_ns)))
                hands[place].send(message, at_ns)
                timed("a message heard", sitting.settle)
    return found
