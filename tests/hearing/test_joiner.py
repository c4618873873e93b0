"""A chanter that is sent to a class over a link with delay and breaks; link and performances are simulated."""

import heapq
import json
from collections.abc import Callable, Sequence
from itertools import count
from random import Random
from typing import Any

import mido
import pytest

from chanterd.hearing.chanter import load_profiles
from chanterd.hearing.clock_offset import Exchange
from chanterd.hearing.cue_frame import cue_frame
from chanterd.hearing.ear import Ear
from chanterd.hearing.habits import Habits
from chanterd.hearing.joiner import QUICK_NS, SIDE_LINKS, SIDE_S, Joiner
from chanterd.hearing.remote import Numbered, RemoteSource
from chanterd.hearing.simulated import perform
from chanterd.hearing.source import Cue
from chanterd.judging.standard import read_standards
from chanterd.music.drill import drill_from_words
from chanterd.music.units import NS_PER_MS, NS_PER_S, Bpm, Ns
from chanterd.practice.exercise import Exercise
from chanterd.practice.run import RepEvent, Run, RunEvent, make_run
from chanterd.serving.seats.cue import cue_for

AHEAD_NS = 12_345 * NS_PER_S
"""The learner's clock beside the class's."""
BEGIN_NS = 15 * NS_PER_S
AT_ONCE_NS = 3 * NS_PER_S
"""A class that begins as soon as the learner has joined: about a count-in of four clicks at 80."""
TICK_NS = 2 * NS_PER_MS


class World:
    """A class and a learner with a link between them; every way takes 40 to 120 ms, in order, as TCP has it."""

    def __init__(self, seed: int, perform: Callable[[Cue | None], None] | None = None) -> None:
        self.now_ns = Ns(0)
        self.up = True
        self.joiner = Joiner("Ailsa", "a chanter", perform)
        self.source = RemoteSource("somebody", lambda: self.now_ns)
        self.heard: list[tuple[mido.Message, Ns]] = []
        self.source.start(lambda message, at_ns: self.heard.append((message, at_ns)), lambda _: None)
        self._dice = Random(seed)  # noqa: S311 - simulated delays, no secret
        self._events: list[tuple[int, int, Callable[[], None]]] = []
        self._number = count()
        self._arrives: dict[str, int] = {}
        self._link = 0

    def at(self, at_ns: int, do: Callable[[], None]) -> None:
        """Have something happen then."""
        heapq.heappush(self._events, (at_ns, next(self._number), do))

    def _send(self, way: str, do: Callable[[], None]) -> None:
        if not self.up:
            return
        link = self._link
        arrives = max(self._arrives.get(way, 0), self.now_ns + round(self._dice.uniform(40, 120) * NS_PER_MS))
        self._arrives[way] = arrives
        self.at(arrives, lambda: do() if self.up and self._link == link else None)

    def connect(self) -> None:
        """The link is there."""
        self.up = True
        self._link += 1
        hello = json.loads(self.joiner.hello())
        wanted = self.source.link(hello["who"], hello["name"])
        self._answer({"kind": "joined", "seat": "1", "next": wanted})
        for side in range(SIDE_LINKS if self._link == 1 else 0):
            for at_ns in range(0, round(SIDE_S * NS_PER_S), QUICK_NS):
                self.at(self.now_ns + at_ns, lambda side=side: self._ask_aside(side))  # type: ignore[misc]
        if hello.get("cues"):
            self.cue()

    def cue(self) -> None:
        """The class says what is practised."""
        self._answer(cue_frame(self.source.cued, 1))

    def _ask_aside(self, side: int) -> None:
        question = json.loads(self.joiner.question(Ns(self.now_ns + AHEAD_NS)))

        def answer() -> None:
            text = json.dumps({**question, "received_ns": self.now_ns, "replied_ns": self.now_ns})
            self._send(f"back {side}", lambda: self.joiner.take_aside(text, Ns(self.now_ns + AHEAD_NS)))

        self._send(f"there {side}", answer)

    def cut(self) -> None:
        """The link is gone, with all that is on its way."""
        self.up = False
        self.source.unlink()
        self.joiner.unlink()

    def _answer(self, frame: dict[str, Any]) -> None:
        self._send("back", lambda: self.joiner.take(json.dumps(frame), Ns(self.now_ns + AHEAD_NS)))

    def _serve(self, text: str) -> None:
        frame = json.loads(text)
        if frame["kind"] == "clock":
            self._answer({**frame, "received_ns": self.now_ns, "replied_ns": self.now_ns})
        elif frame["kind"] == "stamps":
            self.source.compare(Exchange(*frame["stamps"]))
        else:
            self.source.skip_to(frame["first"])
            for place, (at_ns, data) in enumerate(frame["messages"]):
                self.source.take(Numbered(frame["first"] + place, Ns(at_ns), bytes.fromhex(data)))
            self._answer({"kind": "arrived", "next": self.source.next_number})

    def run(self, until_ns: int) -> None:
        """Let time pass."""
        while self.now_ns < until_ns:
            tick_ns = self.now_ns + TICK_NS
            while self._events and self._events[0][0] <= tick_ns:
                at_ns, _, do = heapq.heappop(self._events)
                self.now_ns = Ns(max(self.now_ns, at_ns))
                do()
            self.now_ns = Ns(tick_ns)
            for frame in self.joiner.due(Ns(self.now_ns + AHEAD_NS)):
                self._send("there", lambda frame=frame: self._serve(frame))  # type: ignore[misc]

    def play(self, messages: Sequence[tuple[mido.Message, Ns]]) -> None:
        """Have the learner play that; times are on the class's clock."""
        for message, at_ns in messages:
            self.at(at_ns, lambda message=message, at_ns=at_ns: self.joiner.hear(message, Ns(at_ns + AHEAD_NS)))  # type: ignore[misc]


def new_run(begin_ns: int = BEGIN_NS) -> Run:
    """A run that begins then, a quarter of a minute after the learner has joined."""
    exercise = Exercise(drill_from_words("taorluath from C to low A"), Bpm(90.0), read_standards()["steady"])
    return make_run(exercise, Ns(begin_ns))


def played(reps: int, seed: int, habits: Habits, begin_ns: int = BEGIN_NS) -> list[tuple[mido.Message, Ns]]:
    """A simulated performance of that run, on the class's clock."""
    run = new_run(begin_ns)
    messages, _ = perform(cue_for(run), reps, seed, habits)
    return [(message, Ns(run.grid.beat0_ns + at_ns)) for message, at_ns in messages]


def judged(messages: Sequence[tuple[mido.Message, Ns]], begin_ns: int = BEGIN_NS) -> list[tuple[str, float | None]]:
    """State and deviation of every step of every rep."""
    run, ear = new_run(begin_ns), Ear(load_profiles(None)["written pitch"])
    events = list[RunEvent]()
    for message, at_ns in messages:
        for heard in ear.hear(message, at_ns):
            events += run.hear(heard)
    events += run.finish()
    return [
        (step["state"], step["deviation_ms"])
        for event in events
        if isinstance(event, RepEvent)
        for step in event.result["steps"]
    ]


@pytest.mark.parametrize("begin_ns", [AT_ONCE_NS, BEGIN_NS])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_link_with_80_ms_and_40_of_jitter_makes_nobody_late(seed: int, begin_ns: int) -> None:
    """Every deviation is within 2 ms of the same take played in the room, from the first rep on."""
    messages = played(12, seed, Habits(bias_ms=15.0, step_sd_ms=8.0), begin_ns)
    world = World(seed)
    world.connect()
    world.play(messages)
    world.run(messages[-1][1] + NS_PER_S)
    local, remote = judged(messages, begin_ns), judged(world.heard, begin_ns)
    assert len(local) >= 12 * 4
    assert [state for state, _ in remote] == [state for state, _ in local]
    apart = [abs(a - b) for (_, a), (_, b) in zip(local, remote, strict=True) if a is not None and b is not None]
    assert len(apart) > 40
    assert max(apart) < 2.0


@pytest.mark.parametrize("down_s", [0.3, 3.0, 9.5])
def test_what_is_played_while_the_link_is_down_arrives_once(down_s: float) -> None:
    """In order and with its own times, with all that was on its way when the link broke."""
    messages = played(10, 4, Habits())
    world = World(4)
    world.connect()
    world.play(messages)
    broken_ns = BEGIN_NS + 5 * NS_PER_S
    world.at(broken_ns, world.cut)
    world.at(broken_ns + round(down_s * NS_PER_S), world.connect)
    world.run(max(messages[-1][1], broken_ns + 10 * NS_PER_S) + NS_PER_S)
    assert [message.bin() for message, _ in world.heard] == [message.bin() for message, _ in messages]
    late = [abs(at_ns - true_ns) / NS_PER_MS for (_, at_ns), (_, true_ns) in zip(world.heard, messages, strict=True)]
    assert max(late) < 2.0
    assert world.joiner.lost == 0


def test_what_is_too_old_is_given_up_and_counted() -> None:
    """After more than ten seconds the rest goes on, and nothing waits for what is lost."""
    messages = played(14, 5, Habits())
    world = World(5)
    world.connect()
    world.play(messages)
    world.at(BEGIN_NS + 3 * NS_PER_S, world.cut)
    world.at(BEGIN_NS + 16 * NS_PER_S, world.connect)
    world.run(messages[-1][1] + NS_PER_S)
    missing = len(messages) - len(world.heard)
    assert 0 < missing <= world.joiner.lost < missing + 10  # what arrived without our knowing counts as lost too
    assert world.heard[-1][0].bin() == messages[-1][0].bin()


def test_another_joiner_at_the_same_place_begins_from_the_start() -> None:
    """Somebody who starts the program again counts from 0, on a clock of its own."""
    world = World(6)
    world.connect()
    world.at(3 * NS_PER_S, lambda: world.joiner.hear(mido.Message("note_on", note=69), Ns(world.now_ns + AHEAD_NS)))
    world.run(4 * NS_PER_S)
    world.cut()
    world.joiner = Joiner("Ailsa", "a chanter")
    world.connect()
    world.at(6 * NS_PER_S, lambda: world.joiner.hear(mido.Message("note_on", note=71), Ns(world.now_ns + AHEAD_NS)))
    world.run(7 * NS_PER_S)
    assert [message.note for message, _ in world.heard] == [69, 71]


def test_an_input_that_performs_plays_what_is_practised_by_its_own_clock() -> None:
    """Within 2 ms of the class's click; the same cue, sent again with a new link, does not begin again."""
    cues = list[Cue | None]()
    world = World(7, cues.append)
    world.source.cue(cue_for(new_run(6 * NS_PER_S)))
    world.connect()
    world.run(4 * NS_PER_S)
    world.cut()
    world.connect()
    world.run(7 * NS_PER_S)
    world.source.cue(None)
    world.cue()
    world.run(8 * NS_PER_S)
    assert len(cues) == 2
    [cue, over] = cues
    assert over is None
    assert cue is not None
    assert abs(cue.beat0_ns - AHEAD_NS - 6 * NS_PER_S) < 2 * NS_PER_MS
    assert cue.phrases == cue_for(new_run()).phrases


def test_who_joins_late_plays_from_the_next_rep_on() -> None:
    """Nothing of what the class has played already."""
    cues = list[Cue | None]()
    world = World(8, cues.append)
    class_cue = cue_for(new_run(0))
    world.source.cue(class_cue)
    world.at(10 * NS_PER_S, world.connect)
    world.run(13 * NS_PER_S)
    [cue] = cues
    assert cue is not None
    reps, rest = divmod(cue.beat0_ns - AHEAD_NS + NS_PER_MS, class_cue.rep_ns)
    assert rest < 2 * NS_PER_MS
    assert 10 * NS_PER_S < reps * class_cue.rep_ns < 15 * NS_PER_S
