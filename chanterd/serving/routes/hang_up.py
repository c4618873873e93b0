"""Work for one client, which ends when it hangs up."""

import asyncio
from collections.abc import Coroutine
from typing import Any, TypeVar

from starlette.requests import Request

T = TypeVar("T")


async def unless_gone(connection: Request, work: Coroutine[Any, Any, T]) -> T | None:
    """The result of the work, or None if the client hangs up first, which cancels it. Its body has been read."""
    making = asyncio.ensure_future(work)
    gone = asyncio.ensure_future(_gone(connection))
    try:
        await asyncio.wait((making, gone), return_when=asyncio.FIRST_COMPLETED)
        return making.result() if making.done() else None
    finally:
        gone.cancel()
        making.cancel()  # does nothing to what is done


async def _gone(connection: Request) -> None:
    while (await connection.receive())["type"] != "http.disconnect":
        pass
