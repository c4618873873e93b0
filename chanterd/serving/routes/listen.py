"""The routes of playing with nothing chosen: start the drill that is offered, and take a recording apart."""

import asyncio
from pathlib import Path
from typing import Annotated

from fastapi import Body, FastAPI, Query, Request
from pydantic import Field

from chanterd.assessing.listen import listen_to, tunes_at_hand
from chanterd.hearing.take import parse_take
from chanterd.judging.standard import DEFAULT, find_standard
from chanterd.listening.report import Listened
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat
from chanterd.serving.wire import shapes

TakeName = Annotated[str, Query(alias="name", max_length=300, description="The file's name, such as lesson.mid.")]
StandardName = Annotated[str, Query(alias="standard", max_length=100, description="How strict; see the state.")]


class OfferRequest(AtSeat):
    """The body of ``POST /api/offer``."""

    standard: str | None = Field(None, description="'learner', 'steady', 'competition' or one of your own.")


def add_listen_routes(app: FastAPI, daemon: Daemon, shelf: Shelf) -> None:
    """Add them to the application. A take is listened to in a thread, so that nobody who plays waits for it."""

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
            take = parse_take(Path(name), midi)
            return listen_to(take, tables.profiles, tables.book, tunes=tunes_at_hand(shelf)).listed(limits)

        return await asyncio.to_thread(listened)
