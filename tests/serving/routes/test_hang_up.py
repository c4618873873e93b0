"""Work for one client."""

import asyncio
from typing import Any

from starlette.requests import Request

from chanterd.serving.routes.hang_up import unless_gone


def connection(*, gone: bool) -> Request:
    """A client that has hung up, or waits."""

    async def receive() -> dict[str, Any]:
        if not gone:
            await asyncio.Event().wait()
        return {"type": "http.disconnect"}

    return Request({"type": "http"}, receive)


def test_who_waits_gets_the_result_and_who_hung_up_stops_the_work() -> None:
    """The work is cancelled, not only forgotten."""
    cancelled: list[bool] = []

    async def quick() -> int:
        return 1

    async def endless() -> int:
        try:
            await asyncio.Event().wait()
        except asyncio.CancelledError:
            cancelled.append(True)
            raise
        return 1

    async def ask() -> tuple[int | None, int | None]:
        got = await unless_gone(connection(gone=False), quick()), await unless_gone(connection(gone=True), endless())
        await asyncio.sleep(0)
        return got

    assert asyncio.run(ask()) == (1, None)
    assert cancelled == [True]
