"""Where recordings are listened to."""

import asyncio
import os
import time
from collections.abc import Callable
from functools import partial
from multiprocessing import active_children

import pytest

from chanterd.config import ChanterdError
from chanterd.serving.recordings import RecordingRoom
from tests.serving.running_daemon import PATIENCE_S, wait_until


async def ended() -> bool:
    """True as soon as no process is left."""
    await asyncio.to_thread(wait_until, lambda: not active_children())
    return True


def test_one_process_takes_one_recording_after_another_and_gives_way() -> None:
    """It remembers what it read last, and the daemon hears first (POSIX nice: more is less urgent)."""

    async def ask() -> tuple[list[int], int]:
        room = RecordingRoom()
        try:
            return [await room.do(os.getpid) for _ in range(2)], await room.do(partial(os.nice, 0))
        finally:
            await room.close()

    (first, second), nice = asyncio.run(ask())
    assert first == second != os.getpid()
    assert nice > os.nice(0)
    assert not active_children()


def test_it_ends_when_nothing_is_sent_and_begins_again() -> None:
    """Its memory is free meanwhile."""

    async def ask() -> tuple[int, bool, int]:
        room = RecordingRoom(idle_s=0.0)
        first = await room.do(os.getpid)
        gone = await ended()
        second = await room.do(os.getpid)
        await room.close()
        return first, gone, second

    first, gone, second = asyncio.run(ask())
    assert gone
    assert first != second


def test_one_that_takes_too_long_is_stopped_in_a_sentence() -> None:
    """A recording may be made to take for ever; the next one is read."""

    async def ask() -> int:
        room = RecordingRoom(longest_s=1.5)
        with pytest.raises(ChanterdError, match=r"took more than .* minutes to read"):
            await room.do(partial(time.sleep, PATIENCE_S * 10))
        assert await ended()
        room = RecordingRoom()
        process = await room.do(os.getpid)
        await room.close()
        return process

    assert asyncio.run(ask()) != os.getpid()


@pytest.mark.parametrize("stop", [lambda task, _room: task.cancel(), lambda _task, room: room.close()])
def test_hanging_up_and_the_end_of_the_daemon_stop_it(
    stop: Callable[[asyncio.Task[None], RecordingRoom], object],
) -> None:
    """Nobody waits for the rest of the work, and no process stays."""

    async def ask() -> bool:
        room = RecordingRoom()
        await room.do(os.getpid)
        task = asyncio.create_task(room.do(partial(time.sleep, PATIENCE_S * 10)))
        await asyncio.sleep(0.2)
        stopping = stop(task, room)
        if asyncio.iscoroutine(stopping):
            await stopping
        await asyncio.wait([task])
        gone = await ended()
        await room.close()
        return gone

    assert asyncio.run(ask())


def test_what_is_done_to_the_end_is_told_in_the_log_when_nobody_waits_for_it(caplog: pytest.LogCaptureFixture) -> None:
    """In a sentence, when the process ends in the middle; whoever wanted it is gone."""

    async def hang_up() -> None:
        room = RecordingRoom()
        wanted = asyncio.ensure_future(room.do_to_the_end(partial(time.sleep, 60)))
        await asyncio.to_thread(wait_until, lambda: bool(active_children()))
        wanted.cancel()
        with pytest.raises(asyncio.CancelledError):
            await wanted
        await room.close()
        await asyncio.to_thread(wait_until, lambda: bool(told()))

    def told() -> list[str]:
        return [said for name, _, said in caplog.record_tuples if name == RecordingRoom.__module__]

    asyncio.run(hang_up())
    assert ["The process that listens to recordings stopped" in said for said in told()] == [True]
