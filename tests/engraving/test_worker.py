"""A process that works for this one."""

import asyncio
import os
import signal
import threading
import time
from concurrent.futures import Future

import pytest

from chanterd.config import ChanterdError
from chanterd.engraving import worker as worker_module
from chanterd.engraving.worker import Worker, report_progress
from tests.serving.running_daemon import PATIENCE_S


def half_done() -> str:
    """Work that reports its progress."""
    report_progress(1, 2)
    return "half"


def test_progress_is_seen_from_here() -> None:
    """What the other process reported, and nothing of it once a new one begins."""
    worker = Worker()
    assert worker.progress == (0, 0)
    assert asyncio.run(worker.make(half_done)) == "half"
    assert worker.progress == (1, 2)
    worker.close()
    asyncio.run(worker.make(os.getpid))
    assert worker.progress == (0, 0)
    worker.close()


def test_work_outside_a_worker_reports_to_nobody() -> None:
    """The same work runs here too."""
    assert half_done() == "half"


def refuse() -> None:
    """Work that cannot be done."""
    raise ChanterdError("Not today; ask tomorrow.")


def test_a_refusal_comes_through_and_the_process_stays() -> None:
    """In its own words; the next work is done by the same process."""
    worker = Worker()

    async def ask() -> tuple[int, int]:
        before = await worker.make(os.getpid)
        with pytest.raises(ChanterdError, match=r"^Not today; ask tomorrow\.$"):
            await worker.make(refuse)
        return before, await worker.make(os.getpid)

    before, after = asyncio.run(ask())
    worker.close()
    assert before == after != os.getpid()


def test_closing_cancels_work_that_waits_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if its process had died: whoever asked has not cancelled anything, and gets a sentence."""
    given_up: Future[int] = Future()
    given_up.cancel()
    monkeypatch.setattr(worker_module, "_submit", lambda *_: given_up)
    worker = Worker()
    with pytest.raises(ChanterdError, match=r"^The engraver stopped"):
        asyncio.run(worker.make(os.getpid))
    worker.close()


class Long(bytes):
    """A result that takes a while to send; whoever sends it is asked to stop all the while."""

    def __reduce__(self) -> tuple[type[bytes], tuple[bytes]]:
        """Called in the worker, just before it sends."""
        threading.Thread(target=ask_to_stop, daemon=True).start()
        return bytes, (bytes(self),)


def ask_to_stop() -> None:
    """As ``close`` does, a thousand times a second."""
    while True:
        os.kill(os.getpid(), signal.SIGTERM)
        time.sleep(0.001)


def long_result() -> Long:
    """Work with a result of 64 MB."""
    return Long(1 << 26)


def test_a_process_that_is_stopped_while_it_sends_its_result_sends_all_of_it() -> None:
    """Half of it would keep the daemon from ending: it would wait for the other half."""
    worker = Worker()
    assert len(asyncio.run(asyncio.wait_for(worker.make(long_result), PATIENCE_S))) == 1 << 26
    worker.close()


def test_work_is_not_begun_by_a_process_that_was_asked_to_stop() -> None:
    """It was asked just before."""
    worker = Worker()

    async def ask() -> None:
        process = await worker.make(os.getpid)
        os.kill(process, signal.SIGTERM)
        with pytest.raises(ChanterdError, match=r"^The engraver stopped"):
            await worker.make(os.getpid)

    asyncio.run(ask())
    worker.close()


def test_a_client_that_hangs_up_gets_nothing() -> None:
    """A cancelled request stays cancelled."""
    worker = Worker()

    async def hang_up() -> None:
        task = asyncio.ensure_future(worker.make(os.getpid))
        await asyncio.sleep(0)
        task.cancel()
        await task

    with pytest.raises(asyncio.CancelledError):
        asyncio.run(hang_up())
    worker.close()
