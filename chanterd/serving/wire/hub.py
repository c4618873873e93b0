"""Sends frames to all pages, with a bounded queue for each viewer, so that a slow screen never holds a player up.

When a viewer's queue is full it loses the oldest frames that are only a passing view (notes, provisional steps and
verdicts), never a final verdict, and gets a ``resync`` with the whole state as soon as it can take it. A viewer that is
four times as many verdicts behind is cut off: its queue is emptied, and its page connects again and starts from the
state.

Other ways, and why not: one queue for all (the slowest screen would hold the rest up), an unbounded queue (a suspended
laptop would fill the memory), sending only the newest state (verdicts would be lost).
"""

import asyncio
import json
from collections import deque
from collections.abc import Callable
from typing import Any

from chanterd.serving.status import Pages
from chanterd.serving.wire.allowance import Allowance
from chanterd.serving.wire.frames import Frame, ResyncFrame
from chanterd.serving.wire.shapes import StateShown
from chanterd.serving.wire.topic import EVERYTHING, Topic

QUEUE_FRAMES = 256
"""Half a minute of playing, and about 100 kB."""
LET_GO_FRAMES = 4 * QUEUE_FRAMES

MOST_A_SECOND = 300
"""Passing frames a second that a viewer gets at most, in the long run. Ornaments of 30 notes a second make 60; a page
with thousands from a faulty chanter needs a minute to work them off and shows nothing new meanwhile."""
BURST = 150
"""Passing frames that a viewer may get at once on top of that."""
CALM_S = 0.3
"""How long it must be quiet after frames were shed before the page gets the whole state again."""

_PASSING = frozenset({"note", "step", "rep", "cursor"})
"""The kinds that pass, unless they are final."""


class Viewer:
    """One connected page."""

    def __init__(
        self,
        state: Callable[[], StateShown],
        most: int = QUEUE_FRAMES,
        let_go: int = LET_GO_FRAMES,
        clock: Callable[[], int] = lambda: 0,
        topic: Topic = EVERYTHING,
    ) -> None:
        self.topic = topic
        """Which frames it gets."""
        self._state = state
        self._most = most
        self._most_verdicts = let_go
        self._queue: deque[tuple[bool, str]] = deque()
        self._ready = asyncio.Event()
        self._lost = 0
        self._clock = clock
        self._allowances: dict[str | None, Allowance] = {}  # by seat
        self._shed = 0  # lost to the budget since the page last got the state
        self.lost_ever = 0
        """How many passing frames it never got."""
        self.let_go = asyncio.Event()
        """Set when it is too far behind, so that it gets nothing more."""

    def __len__(self) -> int:
        """How many frames wait."""
        return len(self._queue)

    def put(self, text: str, *, passing: bool, seat: str | None = None) -> None:
        """Queue a frame about that seat; if the queue is full, drop a passing one."""
        if self.let_go.is_set():
            return
        if passing and not self._afford(seat):
            self._shed += 1
            self.lost_ever += 1
            return
        self._queue.append((passing, text))
        if len(self._queue) > self._most:
            self._make_room()
        self._ready.set()

    def _afford(self, seat: str | None) -> bool:
        """Whether one more passing frame of that seat is within what a viewer may get."""
        now_ns = self._clock()
        if seat not in self._allowances:
            self._allowances[seat] = Allowance(MOST_A_SECOND, BURST, now_ns)
        return self._allowances[seat].take(now_ns)

    def _make_room(self) -> None:
        oldest = next((index for index, (passing, _) in enumerate(self._queue) if passing), None)
        if oldest is not None:
            del self._queue[oldest]
            self._lost += 1
            self.lost_ever += 1
        elif len(self._queue) > self._most_verdicts:
            self._queue.clear()
            self.let_go.set()

    def renew(self) -> None:
        """Send it its whole state again."""
        self.put(json.dumps(ResyncFrame(kind="resync", lost=0, state=self._state())), passing=False)

    async def next(self) -> str:
        """Wait for the next frame to send; first a ``resync`` if frames were lost."""
        while not self._queue and not self._lost:
            self._ready.clear()
            if not self._shed:
                await self._ready.wait()
                continue
            try:
                async with asyncio.timeout(CALM_S):
                    await self._ready.wait()
            except TimeoutError:
                self._lost, self._shed = self._shed, 0
        if self._lost:
            resync = ResyncFrame(kind="resync", lost=self._lost, state=self._state())
            self._lost = 0
            return json.dumps(resync)
        return self._queue.popleft()[1]


class Hub:
    """All viewers."""

    def __init__(self) -> None:
        self._viewers: set[Viewer] = set()
        self._frames = self._lost = self._let_go = 0

    def __len__(self) -> int:
        return len(self._viewers)

    def join(self, viewer: Viewer) -> None:
        """Send it every frame from now on."""
        self._viewers.add(viewer)

    def leave(self, viewer: Viewer) -> None:
        """Send it no more."""
        self._viewers.discard(viewer)
        self._lost += viewer.lost_ever
        self._let_go += viewer.let_go.is_set()

    def pages(self) -> Pages:
        """How many pages watch, and what they got and did not get."""
        lost = self._lost + sum(viewer.lost_ever for viewer in self._viewers)
        return Pages(now=len(self._viewers), frames=self._frames, lost=lost, let_go=self._let_go)

    def publish(self, frame: Frame) -> None:
        """Send a frame to every viewer; returns at once."""
        if not self._viewers:
            return
        said: Any = frame
        passing = said["kind"] in _PASSING and not said.get("final")
        text = ""
        for viewer in self._viewers:
            if viewer.topic.has(said):
                text = text or json.dumps(said)
                self._frames += 1
                viewer.put(text, passing=passing, seat=said.get("seat"))

    def renew(self, seat: str | None = None) -> None:
        """Send viewers their whole state, because something changed that no frame shows; those of one seat, or all."""
        for viewer in self._viewers:
            if not viewer.topic.wall and seat in (None, viewer.topic.seat):
                viewer.renew()
