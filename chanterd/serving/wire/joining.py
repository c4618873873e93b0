"""What a joiner sends and gets on ``/join``: the frames, and one link from its first to its last.

A joiner says who it is, compares its clock with ours by the four stamps (RFC 5905 section 8), and sends MIDI messages,
each with the time it was heard on its own clock. Every packet is answered with the number of the first message that has
not arrived, so that what a broken link lost is sent again. A joiner may open further links that only compare clocks: on
one link a stamp waits for what was delayed before it, on another it may overtake. Times are ns.
"""

import asyncio
import contextlib
import json
import logging
from collections.abc import Awaitable, Callable
from secrets import randbits
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError
from starlette.websockets import WebSocket, WebSocketDisconnect

from chanterd.config import ChanterdError
from chanterd.hearing.clock_offset import Exchange
from chanterd.hearing.cue_frame import cue_frame
from chanterd.hearing.remote import Numbered, RemoteSource
from chanterd.music.units import Ns
from chanterd.serving.access.grants import Session
from chanterd.serving.wire.allowance import Allowance
from chanterd.serving.wire.connection import NOT_ALLOWED, cut_off

LOG = logging.getLogger(__name__)

LONGEST_FRAME = 32_768
"""Characters."""
MOST_MESSAGES = 200
"""Of one packet."""
FRAMES_A_SECOND, FRAMES_AT_ONCE = 200, 600
"""A joiner sends ten stamps a second and a packet for each note; after a broken link, ten seconds at once."""
SILENT_S = 5.0
"""A joiner that has sent nothing for so long is gone, seconds: it sends ten stamps a second."""
COMPARED_S = 15.0
"""A link that only compares clocks ends after so long, seconds."""
LATEST_NS = 2**63 - 1

Stamp = Annotated[int, Field(ge=-LATEST_NS, le=LATEST_NS)]


class _Frame(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)


class Join(_Frame):
    """The first frame."""

    kind: Literal["join"]
    who: str = Field(min_length=8, max_length=80)
    """A new one is made up by each joiner that starts to count its messages from 0."""
    name: str | None = Field(None, max_length=200)
    """Who plays."""
    input: str = Field("", max_length=200)
    """What they play on."""
    cues: bool = False
    """Whether it wants to know what is practised, in ``cue`` frames: for an input that performs."""


class Ask(_Frame):
    """A question about our clock."""

    kind: Literal["clock"]
    sent: Stamp


class Compared(_Frame):
    """The four stamps of a question that was answered: the first and the last on the joiner's clock."""

    kind: Literal["stamps"]
    stamps: Annotated[list[Stamp], Field(min_length=4, max_length=4)]


class Packet(_Frame):
    """Messages, the first with that number, each as the time it was heard and its bytes in hex."""

    kind: Literal["midi"]
    first: Annotated[int, Field(ge=0, le=LATEST_NS)]
    messages: Annotated[
        list[tuple[Stamp, Annotated[str, Field(max_length=1024, pattern=r"^([0-9a-f]{2})*$")]]],
        Field(max_length=MOST_MESSAGES),
    ]


_FRAMES: TypeAdapter[Join | Ask | Compared | Packet] = TypeAdapter(
    Annotated[Join | Ask | Compared | Packet, Field(discriminator="kind")]
)


class UnfitError(Exception):
    """A joiner sent what it may not; the message says what."""


class Joined(BaseModel):
    """The answer to the first frame: which seat it is, and which message is wanted next."""

    kind: Literal["joined"] = "joined"
    seat: str
    next: int


async def host(
    socket: WebSocket,
    session: Session,
    clock: Callable[[], Ns],
    welcome: Callable[[Join], Awaitable[tuple[str, RemoteSource]]],
) -> None:
    """Take what a joiner sends, until it leaves or its session ends; ``welcome`` finds its seat."""
    await socket.accept()
    link = _Link(socket, clock, welcome)
    tasks = [asyncio.ensure_future(link.run()), asyncio.ensure_future(session.ended.wait())]
    try:
        await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for task in tasks:
            task.cancel()
        ended, _ = await asyncio.gather(*tasks, return_exceptions=True)
        link.over()
    with contextlib.suppress(WebSocketDisconnect, RuntimeError):
        if isinstance(ended, UnfitError | ChanterdError):
            LOG.warning("A joiner was refused: %s", ended)
            await cut_off(socket, NOT_ALLOWED, str(ended)[:120])
        elif session.ended.is_set():
            await cut_off(socket, NOT_ALLOWED, "The code you entered with is no longer good.")
        elif isinstance(ended, TimeoutError):
            await cut_off(socket, NOT_ALLOWED, "Nothing was heard for too long.")
        elif isinstance(ended, Exception) and not isinstance(ended, WebSocketDisconnect):
            raise ended


class _Link:
    """One connection of a joiner."""

    def __init__(
        self,
        socket: WebSocket,
        clock: Callable[[], Ns],
        welcome: Callable[[Join], Awaitable[tuple[str, RemoteSource]]],
    ) -> None:
        self._socket = socket
        self._clock = clock
        self._welcome = welcome
        self._source: RemoteSource | None = None
        self._number = 0
        self._allowance = Allowance(FRAMES_A_SECOND, FRAMES_AT_ONCE, clock())

    async def run(self) -> None:
        """From the first frame on, until another link of the same joiner is there.

        Raises UnfitError, ChanterdError, TimeoutError, WebSocketDisconnect.
        """
        first, received_ns = await self._read()
        if isinstance(first, Ask):
            await self._compare(first, received_ns)
            return
        if not isinstance(first, Join):
            raise UnfitError("The first frame must be 'join' or 'clock'.")
        seat, self._source = await self._welcome(first)
        name = " of ".join(part for part in (first.input, first.name) if part)
        wanted = self._source.link(first.who, name)
        self._number = self._source.links
        await self._socket.send_text(Joined(seat=seat, next=wanted).model_dump_json())
        cueing = asyncio.ensure_future(self._send_cues(self._source)) if first.cues else None
        try:
            while self._source.links == self._number:
                frame, received_ns = await self._read()
                await self._take(self._source, frame, received_ns)
        finally:
            if cueing is not None:
                cueing.cancel()
                await asyncio.gather(cueing, return_exceptions=True)

    async def _send_cues(self, source: RemoteSource) -> None:
        """Send what is practised, now and whenever that changes."""
        changed = asyncio.Event()
        source.on_cue(changed.set)
        while True:
            changed.clear()
            # On a thread, since a whole tune may have to be performed for it.
            cue = source.cued
            frame = json.dumps(await asyncio.to_thread(cue_frame, cue, randbits(32)))
            if source.cued is cue:
                await self._socket.send_text(frame)
            await changed.wait()

    async def _compare(self, first: Ask, received_ns: Ns) -> None:
        """Answer questions about our clock, and nothing else."""
        frame: _Frame = first
        async with asyncio.timeout(COMPARED_S):
            while isinstance(frame, Ask):
                await self._answer(frame, received_ns)
                frame, received_ns = await self._read()
        raise UnfitError("A link that begins with 'clock' compares clocks only.")

    async def _answer(self, frame: Ask, received_ns: Ns) -> None:
        await self._socket.send_json(
            {"kind": "clock", "sent": frame.sent, "received_ns": received_ns, "replied_ns": self._clock()}
        )

    def over(self) -> None:
        """The link is gone."""
        if self._source is not None and self._source.links == self._number:
            self._source.unlink()

    async def _take(self, source: RemoteSource, frame: _Frame, received_ns: Ns) -> None:
        if isinstance(frame, Ask):
            await self._answer(frame, received_ns)
        elif isinstance(frame, Compared):
            source.compare(Exchange(*(Ns(stamp) for stamp in frame.stamps)))
        elif isinstance(frame, Packet):
            lost = source.skip_to(frame.first)
            if lost:
                LOG.warning("%s: %d messages were lost, since the link was down too long.", source.name, lost)
            for place, (at_ns, data) in enumerate(frame.messages):
                source.take(Numbered(frame.first + place, Ns(at_ns), bytes.fromhex(data)))
            await self._socket.send_json({"kind": "arrived", "next": source.next_number})
        else:
            raise UnfitError("A link joins once.")

    async def _read(self) -> tuple[Join | Ask | Compared | Packet, Ns]:
        async with asyncio.timeout(SILENT_S):
            message = await self._socket.receive()
        received_ns = self._clock()
        if message["type"] == "websocket.disconnect":
            raise WebSocketDisconnect(message.get("code", 1005))
        if not self._allowance.take(received_ns):
            raise UnfitError(f"More than {FRAMES_A_SECOND} frames a second.")
        text = message.get("text")
        if text is None or len(text) > LONGEST_FRAME:
            raise UnfitError("A frame must be JSON of 32768 characters at most.")
        try:
            return _FRAMES.validate_json(text), received_ns
        except ValidationError as error:
            raise UnfitError(f"A frame was not understood: {error.errors()[0]['msg']}.") from error
