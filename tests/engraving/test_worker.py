"""A process that works for this one."""

import asyncio
import os

import pytest

from chanterd.config import ChanterdError
from chanterd.engraving.worker import Worker, tell_progress


def half_done() -> str:
    """Work that tells how far it got."""
    tell_progress(1, 2)
    return "half"


def test_progress_is_seen_from_here() -> None:
    """What the other process told, and nothing of it once a new one begins."""
    worker = Worker()
    assert worker.progress == (0, 0)
    assert asyncio.run(worker.make(half_done)) == "half"
    assert worker.progress == (1, 2)
    worker.close()
    asyncio.run(worker.make(os.getpid))
    assert worker.progress == (0, 0)
    worker.close()


def test_work_outside_a_worker_tells_nobody() -> None:
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
