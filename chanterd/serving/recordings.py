"""Recordings that pages send are listened to in a process of their own, so that nobody who plays waits for it.

It starts with the first recording, takes one after another, and ends when none has been sent for a while: then its
memory is free again. It ends at once with the daemon, when whoever sent the recording hangs up, and when one takes too
long.
"""

import asyncio
import logging
from collections.abc import Callable
from typing import TypeVar

from chanterd.config import ChanterdError
from chanterd.engraving.worker import Worker

LOG = logging.getLogger(__name__)

IDLE_S = 60.0
"""How long the process waits for another recording, or to keep the last one, seconds."""
LONGEST_S = 300.0
"""How long a recording may take, seconds; an hour of playing takes about 20 (simulated, on two cores of a server)."""

T = TypeVar("T")


class RecordingRoom:
    """Where recordings are listened to."""

    def __init__(self, idle_s: float = IDLE_S, longest_s: float = LONGEST_S) -> None:
        self._idle_s, self._longest_s = idle_s, longest_s
        self._worker = Worker("The process that listens to recordings", gives_way=True)
        self._one = asyncio.Lock()
        self._idle: asyncio.Task[None] | None = None

    async def do(self, work: Callable[[], T]) -> T:
        """The result of the work, after all that was wanted before it. Cancelling stops the process at once.

        Raises what it raises, and ChanterdError if it takes too long or the process dies.
        """
        async with self._one:
            self._stay()
            done = False
            try:
                async with asyncio.timeout(self._longest_s):
                    result = await self._worker.make(work)
                done = True
            except TimeoutError as error:
                raise ChanterdError(
                    f"The recording took more than {self._longest_s / 60:g} minutes to read, so chanterd stopped; save "
                    "the part you mean as a file of its own."
                ) from error
            except ChanterdError:
                done = True
                raise
            finally:
                if not done:
                    await asyncio.to_thread(self._worker.close)
                self._idle = asyncio.create_task(self._end_when_idle())
            return result

    async def do_to_the_end(self, work: Callable[[], T]) -> T:
        """The same, but it goes on when whoever wants it is gone; then the log says why it could not be done."""
        doing = asyncio.ensure_future(self.do(work))
        doing.add_done_callback(_log_refusal)
        return await asyncio.shield(doing)

    async def close(self) -> None:
        """Stop what is going on, and the process."""
        self._stay()
        await asyncio.to_thread(self._worker.close)

    def _stay(self) -> None:
        if self._idle is not None:
            self._idle.cancel()
            self._idle = None

    async def _end_when_idle(self) -> None:
        await asyncio.sleep(self._idle_s)
        async with self._one:  # whatever is sent meanwhile waits, and starts another
            await asyncio.to_thread(self._worker.close)


def _log_refusal(done: asyncio.Future[T]) -> None:
    if not done.cancelled() and isinstance(error := done.exception(), ChanterdError):
        LOG.warning("%s", error)
