"""The routes of playing with nothing chosen: start the drill that is offered, and take a recording apart."""

import asyncio
from hashlib import sha256
from pathlib import Path
from typing import Annotated, Literal

from fastapi import Body, FastAPI, Query, Request
from pydantic import BaseModel, Field

from chanterd.assessing.listen import HeardTake, listen_to, tunes_at_hand
from chanterd.assessing.take_import import keep_all, to_keep
from chanterd.config import ChanterdError
from chanterd.hearing.take import Take, parse_take
from chanterd.history.wall_clock import wall_at
from chanterd.judging.standard import DEFAULT, find_standard
from chanterd.listening.report import Listened
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.units import NS_PER_MS, ms
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.wire import shapes

TakeName = Annotated[str, Query(alias="name", max_length=300, description="The file's name, such as lesson.mid.")]
StandardName = Annotated[str, Query(alias="standard", max_length=100, description="How strict; see the state.")]

EndedMs = Annotated[
    float | None,
    Query(ge=0, le=1e14, description="When the recording ended, in ms since 1970 in UTC; left out, it is now."),
]


class KeptPassage(BaseModel):
    """A passage of a recording that is a run of the history now."""

    kind: Literal["drill", "tune", "free"]
    run: int
    """Its number among the runs of that kind."""
    start_ms: float
    """Where it begins in the recording."""


class OfferRequest(AtSeat):
    """The body of ``POST /api/offer``."""

    standard: str | None = Field(None, description="'learner', 'steady', 'competition' or one of your own.")


def add_listen_routes(app: FastAPI, daemon: Daemon, shelf: Shelf) -> None:
    """Add them to the application. A take is listened to in a thread, so that nobody who plays waits for it."""
    latest: dict[tuple[str, bytes], tuple[Take, HeardTake]] = {}

    def hear(name: str, midi: bytes) -> tuple[Take, HeardTake]:
        """A take with what is in it; the last one is remembered, since it is looked at before it is kept."""
        key = name, sha256(midi).digest()
        found = latest.get(key)
        if found is None:
            take = parse_take(Path(name), midi)
            profiles, book = daemon.tables.profiles, daemon.tables.book
            found = take, listen_to(take, profiles, book, tunes=tunes_at_hand(shelf))
            latest.clear()
            latest[key] = found
        return found

    @app.post("/api/offer")
    async def begin(request: Annotated[OfferRequest, Body()]) -> shapes.PracticeShown:
        """Start the drill that the player keeps repeating, at their tempo and on their own beat."""
        return daemon.practise_repeated(request.seat, request.standard)

    @app.post("/api/listen")
    async def listen(request: Request, name: TakeName = "recording", standard: StandardName = DEFAULT) -> Listened:
        """Say what was played in a recording: the body is a Standard MIDI File."""
        midi = await request.body()
        tables = daemon.tables

        def listened() -> Listened:
            limits = find_standard(standard, tables.standards)
            return hear(name, midi)[1].listed(limits)

        return await asyncio.to_thread(listened)

    @app.post("/api/listen/keep")
    async def keep(
        request: Request,
        name: TakeName = "recording",
        standard: StandardName = DEFAULT,
        seat: SeatId = None,
        ended_ms: EndedMs = None,
    ) -> list[KeptPassage]:
        """Keep what is in a recording as runs of the player at a seat: drills, tunes and free playing."""
        midi = await request.body()
        tables, player, wall = daemon.tables, daemon.seat(seat).player, daemon.history.wall()
        ended = wall if ended_ms is None else wall_at(min(round(ended_ms * NS_PER_MS), wall.ns))

        def kept() -> list[KeptPassage]:
            limits = find_standard(standard, tables.standards)
            take, heard = hear(name, midi)
            found = to_keep(take, heard, shelf, limits, tables)
            if not found:
                raise ChanterdError(f"There is no ornament in '{name}', so there is nothing to keep.")
            done = keep_all(daemon.history.store, player, take, heard, found, ended)
            return [KeptPassage(kind=one.kind, run=one.run, start_ms=ms(one.passage.start_ns)) for one in done]

        return await asyncio.to_thread(kept)
