"""The routes of the progress view and the report; a thread reads the history, so that no note waits for it."""

import asyncio
from collections.abc import Callable
from typing import Annotated, TypeVar

from fastapi import FastAPI, Query
from sqlalchemy import Connection

from chanterd.history.players import Player, player_of
from chanterd.progress.progress import IN_A_ROW, Progress, progress_of
from chanterd.progress.report import Report, report_of
from chanterd.progress.span import span_from_words
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import PlayerNumber, SeatId

PlayerChoice = Annotated[
    PlayerNumber | None,
    Query(alias="player", description="A player's number. Without it, whoever sits at the chanter."),
]
First = Annotated[str | None, Query(alias="from", description="The first day, such as 2026-03-01.", max_length=20)]
Last = Annotated[str | None, Query(alias="to", description="The last day. Without it, today.", max_length=20)]
InARow = Annotated[int, Query(description="How many clean reps in a row hold a tempo.", ge=1, le=100)]
Drill = Annotated[str | None, Query(description="The drill whose charts to show. Without it, the one most practised.")]
Answer = TypeVar("Answer")


def add_progress_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    standards = daemon.tables.standards

    async def read(seat_id: str | None, player: int | None, answer: Callable[[Connection, Player], Answer]) -> Answer:
        number = daemon.seat(seat_id).player.number if player is None else player

        def reading() -> Answer:
            with daemon.history.store.reading() as connection:
                return answer(connection, player_of(connection, number))

        return await asyncio.to_thread(reading)

    @app.get("/api/progress")
    async def progress(
        seat_id: SeatId = None,
        player: PlayerChoice = None,
        first: First = None,
        last: Last = None,
        in_a_row: InARow = IN_A_ROW,
        drill: Drill = None,
    ) -> Progress:
        """A player's progress over a span of days."""
        span = span_from_words(first, last)
        return await read(
            seat_id, player, lambda connection, who: progress_of(connection, who, span, standards, in_a_row, drill)
        )

    @app.get("/api/report")
    async def report(
        seat_id: SeatId = None,
        player: PlayerChoice = None,
        first: First = None,
        last: Last = None,
        in_a_row: InARow = IN_A_ROW,
    ) -> Report:
        """A report of a span of days, in words."""
        span = span_from_words(first, last)
        return await read(
            seat_id, player, lambda connection, who: report_of(connection, who, span, standards, in_a_row)
        )
