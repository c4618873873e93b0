"""A chanter on another machine for a simulated day: it plays through a link that breaks and comes back."""

import json
from collections.abc import Callable
from typing import Any

import mido

from chanterd.hearing.clock_offset import Exchange
from chanterd.hearing.joiner import Joiner
from chanterd.hearing.remote import Numbered, RemoteSource
from chanterd.hearing.source import Cue, SourceState
from chanterd.music.units import NS_PER_S, Ns

AHEAD_NS = 4_321 * NS_PER_S
"""Their clock beside ours."""
WAY_NS = 5_000_000
"""How long the link takes, each way."""


class JoinedChanter:
    """The joiner there and its source here, with the link between them; times are on our clock."""

    def __init__(self, clock: Callable[[], Ns]) -> None:
        self._clock = clock
        self.source = RemoteSource("somebody", clock)
        self.joiner = Joiner(None, "a chanter elsewhere")
        self.up = False

    @property
    def cues(self) -> list[Cue | None]:
        """What is practised at its seat."""
        return [self.source.cued]

    def send(self, message: mido.Message, at_ns: int) -> None:
        """It is played there, whether the link is up or not."""
        self.joiner.hear(message, Ns(at_ns + AHEAD_NS))
        self.pass_on()

    def status(self, state: SourceState, _: str = "") -> None:
        """The link breaks, or is back."""
        if state == "ready":
            self.connect()
        else:
            self.cut()

    def connect(self) -> None:
        """The link is there."""
        hello = json.loads(self.joiner.hello())
        self.up = True
        self._answer({"kind": "joined", "seat": "?", "next": self.source.link(hello["who"], "a chanter elsewhere")})
        self.pass_on()

    def cut(self) -> None:
        """The link is gone."""
        if self.up:
            self.up = False
            self.source.unlink()
            self.joiner.unlink()

    def again(self) -> None:
        """The program there is started again: it counts from 0."""
        self.cut()
        self.joiner = Joiner(None, "a chanter elsewhere")
        self.connect()

    def pass_on(self) -> None:
        """What is due goes over the link."""
        while self.up and (due := list(self.joiner.due(Ns(self._clock() + AHEAD_NS)))):
            for text in due:
                self._serve(json.loads(text))

    def _serve(self, frame: dict[str, Any]) -> None:
        now_ns = self._clock()
        if frame["kind"] == "clock":
            self._answer({**frame, "sent": frame["sent"] - WAY_NS, "received_ns": now_ns, "replied_ns": now_ns})
        elif frame["kind"] == "stamps":
            self.source.compare(Exchange(*map(Ns, frame["stamps"])))
        else:
            self.source.skip_to(frame["first"])
            for place, (at_ns, data) in enumerate(frame["messages"]):
                self.source.take(Numbered(frame["first"] + place, Ns(at_ns), bytes.fromhex(data)))
            self._answer({"kind": "arrived", "next": self.source.next_number})

    def _answer(self, frame: dict[str, Any]) -> None:
        self.joiner.take(json.dumps(frame), Ns(self._clock() + AHEAD_NS + WAY_NS))
