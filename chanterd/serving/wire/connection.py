"""One page's WebSocket: it sends the page frames and answers its clock questions."""

import asyncio
import contextlib
import json
import logging
import math
from collections.abc import Callable
from functools import partial

from starlette.websockets import WebSocket, WebSocketDisconnect

from chanterd.serving.daemon import Daemon
from chanterd.serving.wire.frames import ClockFrame, ErrorFrame, HelloFrame
from chanterd.serving.wire.hub import Viewer
from chanterd.serving.wire.topic import EVERYTHING, Topic

LOG = logging.getLogger(__name__)

LONGEST_FRAME = 1000
"""Characters that a page may send in one frame; ours sends about 60."""
LONGEST_QUOTE = 80
"""Characters of a wrong frame that the answer quotes."""
TRY_AGAIN = 1013
"""WebSocket close code "try again later" (IANA WebSocket close code registry, from memory)."""
FAREWELL_S = 1.0
"""How long a viewer that is cut off has to read why, seconds."""


async def talk(socket: WebSocket, daemon: Daemon, topic: Topic = EVERYTHING) -> None:
    """Send one page the frames of its topic, until it leaves or is cut off because it is too slow."""
    await socket.accept()
    viewer = Viewer(partial(daemon.state, topic), clock=daemon.clock, topic=topic)
    viewer.put(json.dumps(HelloFrame(kind="hello", clock_ns=daemon.clock(), state=daemon.state(topic))), passing=False)
    if topic.wall or topic.desk:
        viewer.put(json.dumps(daemon.classroom.wall()), passing=False)
    daemon.hub.join(viewer)
    LOG.info("A page connected; %d open.", len(daemon.hub))
    parts = (_send(socket, viewer), _receive(socket, daemon.clock), viewer.let_go.wait())
    tasks = [asyncio.ensure_future(part) for part in parts]
    try:
        done, _ = await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    finally:
        daemon.hub.leave(viewer)
        why = ", cut off because it was too slow" if viewer.let_go.is_set() else ""
        LOG.info("A page disconnected%s; %d open.", why, len(daemon.hub))
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
    with contextlib.suppress(WebSocketDisconnect):
        for task in done:
            task.result()
        if viewer.let_go.is_set():
            await _cut_off(socket)


async def _cut_off(socket: WebSocket) -> None:
    with contextlib.suppress(TimeoutError):
        async with asyncio.timeout(FAREWELL_S):
            await socket.close(TRY_AGAIN, "This page was too slow; it can connect again.")


async def _send(socket: WebSocket, viewer: Viewer) -> None:
    while True:
        await socket.send_text(await viewer.next())


async def _receive(socket: WebSocket, clock: Callable[[], int]) -> None:
    while True:
        message = await socket.receive()
        received_ns = clock()
        if message["type"] == "websocket.disconnect":
            return
        await socket.send_text(json.dumps(answer(message.get("text"), received_ns, clock)))


def answer(text: str | None, received_ns: int, clock: Callable[[], int]) -> ClockFrame | ErrorFrame:
    """The answer to a page's frame (None is a binary one): two of four clock stamps, or what is wrong with it."""
    sent = None if text is None else _sent(text)
    if sent is not None:
        return ClockFrame(kind="clock", sent=sent, received_ns=received_ns, replied_ns=clock())
    what = "A binary frame" if text is None else f"The frame {text[:LONGEST_QUOTE]!r}"
    return ErrorFrame(
        kind="error", said=f'{what} is not a clock question; send {{"kind": "clock", "sent": <a number of ms>}}.'
    )


def _sent(text: str) -> float | None:
    """The page's own stamp, ms; None if the frame is not a clock question with a plain number."""
    if len(text) > LONGEST_FRAME:
        return None
    try:
        question = json.loads(text)
    except (ValueError, RecursionError):  # RecursionError: a thousand nested brackets
        return None
    sent = question.get("sent") if isinstance(question, dict) and question.get("kind") == "clock" else None
    if isinstance(sent, bool) or not isinstance(sent, int | float):
        return None
    with contextlib.suppress(OverflowError):  # a whole number beyond what a float can hold
        return sent if math.isfinite(sent) else None
    return None
