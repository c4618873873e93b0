"""One page's WebSocket: it sends the page frames and answers its clock questions."""

import asyncio
import contextlib
import json
import logging
import math
from collections.abc import Callable
from functools import partial

from starlette.websockets import WebSocket, WebSocketDisconnect

from chanterd.serving.access.grants import Session
from chanterd.serving.daemon import Daemon
from chanterd.serving.wire.allowance import Allowance
from chanterd.serving.wire.frames import ClockFrame, ErrorFrame, HelloFrame
from chanterd.serving.wire.hub import Viewer
from chanterd.serving.wire.topic import Topic

LOG = logging.getLogger(__name__)

LONGEST_FRAME = 1000
"""Characters that a page may send in one frame; ours sends about 60."""
LONGEST_QUOTE = 80
"""Characters of a wrong frame that the answer quotes."""
QUESTIONS_A_SECOND, QUESTIONS_AT_ONCE = 30, 60
"""Frames that a page may send; ours asks for the clock once a second, and eight times when it connects."""
STALLED_S = 20.0
"""How long a page may leave what it was sent unread before it is cut off; a page that sleeps comes back by itself."""
TRY_AGAIN = 1013
"""WebSocket close code "try again later" (IANA WebSocket close code registry, from memory)."""
NOT_ALLOWED = 1008
"""WebSocket close code "policy violation" (RFC 6455 section 7.4.1)."""
FAREWELL_S = 1.0
"""How long a viewer that is cut off has to read why, seconds."""


class TooManyFramesError(Exception):
    """A page sends more frames than it may."""


async def talk(socket: WebSocket, daemon: Daemon, topic: Topic, session: Session) -> None:
    """Send one page the frames of its topic, until it leaves, its session ends, or it is cut off.

    It is cut off when it does not read what it gets, or sends too much.
    """
    await socket.accept()
    viewer = Viewer(partial(daemon.state, topic), clock=daemon.clock, topic=topic)
    viewer.put(json.dumps(HelloFrame(kind="hello", clock_ns=daemon.clock(), state=daemon.state(topic))), passing=False)
    if topic.wall or topic.desk:
        viewer.put(json.dumps(daemon.classroom.wall()), passing=False)
    daemon.hub.join(viewer)
    LOG.info("A page connected; %d open.", len(daemon.hub))
    parts = (_send(socket, viewer), _receive(socket, daemon.clock), viewer.let_go.wait(), session.ended.wait())
    tasks = [asyncio.ensure_future(part) for part in parts]
    try:
        done, _ = await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
    finally:
        daemon.hub.leave(viewer)
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
        why = ", cut off because it was too slow" if viewer.let_go.is_set() else ""
        LOG.info("A page disconnected%s; %d open.", why, len(daemon.hub))
    with contextlib.suppress(WebSocketDisconnect):
        try:
            for task in done:
                task.result()
        except TooManyFramesError:
            LOG.warning("A page sent too many frames; its connection is closed.")
            await cut_off(socket, NOT_ALLOWED, f"More than {QUESTIONS_A_SECOND} frames a second.")
            return
        if viewer.let_go.is_set():
            await cut_off(socket, TRY_AGAIN, "This page was too slow; it can connect again.")
        elif session.ended.is_set():
            await cut_off(socket, NOT_ALLOWED, "The code you entered with is no longer good.")


async def cut_off(socket: WebSocket, code: int, why: str) -> None:
    """Close a connection, whether or not the other side reads why."""
    with contextlib.suppress(TimeoutError):
        async with asyncio.timeout(FAREWELL_S):
            await socket.close(code, why)


async def _send(socket: WebSocket, viewer: Viewer) -> None:
    """Send frame after frame, until one is left unread for too long."""
    with contextlib.suppress(TimeoutError):
        while True:
            text = await viewer.next()
            async with asyncio.timeout(STALLED_S):
                await socket.send_text(text)
    viewer.let_go.set()


async def _receive(socket: WebSocket, clock: Callable[[], int]) -> None:
    allowance = Allowance(QUESTIONS_A_SECOND, QUESTIONS_AT_ONCE, clock())
    while True:
        message = await socket.receive()
        received_ns = clock()
        if message["type"] == "websocket.disconnect":
            return
        if not allowance.take(received_ns):
            raise TooManyFramesError
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
