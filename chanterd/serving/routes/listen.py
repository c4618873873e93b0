"""The routes of playing with nothing chosen: start the drill that is offered, and take a recording apart."""

from functools import partial
from typing import Annotated, Literal

from fastapi import Body, FastAPI, Query, Request, Response
from pydantic import BaseModel, Field

from chanterd.assessing.dropped import Dropped, judged, kept, listened
from chanterd.history.wall_clock import wall_at
from chanterd.judging.standard import DEFAULT, find_standard
from chanterd.listening.report import Listened
from chanterd.music.units import NS_PER_MS, ms
from chanterd.serving.daemon import Daemon
from chanterd.serving.recordings import RecordingRoom
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.routes.hang_up import unless_gone
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


def add_listen_routes(app: FastAPI, daemon: Daemon, room: RecordingRoom) -> None:
    """Add them to the application. A take is listened to in another process, so that nobody who plays waits for it."""

    async def dropped(request: Request, name: str, standard: str) -> Dropped:
        tables = daemon.tables
        return Dropped(name, await request.body(), find_standard(standard, tables.standards), tables, daemon.folder)

    @app.post("/api/offer")
    async def begin(request: Annotated[OfferRequest, Body()]) -> shapes.PracticeShown:
        """Start the drill that the player keeps repeating, at their tempo and on their own beat."""
        return daemon.practise_repeated(request.seat, request.standard)

    # The answer is not checked once more: for an hour of playing, whoever plays meanwhile would notice.
    @app.post("/api/listen", response_model=Listened)
    async def listen(request: Request, name: TakeName = "recording", standard: StandardName = DEFAULT) -> Response:
        """Say what was played in a recording: the body is a Standard MIDI File; hang up to cancel it."""
        recording = await dropped(request, name, standard)
        found = await unless_gone(request, room.do(partial(listened, recording)))
        return Response(found or b"", media_type="application/json")

    @app.post("/api/listen/keep")
    async def keep(
        request: Request,
        name: TakeName = "recording",
        standard: StandardName = DEFAULT,
        seat: SeatId = None,
        ended_ms: EndedMs = None,
    ) -> list[KeptPassage]:
        """Keep what is in a recording as runs of the player at a seat: drills, tunes and free playing."""
        player, history = daemon.seat(seat).player, daemon.history
        wall, url = history.wall(), history.store.url
        ended = wall if ended_ms is None else wall_at(min(round(ended_ms * NS_PER_MS), wall.ns))
        recording = await dropped(request, name, standard)
        if await unless_gone(request, room.do(partial(judged, recording))) is None:
            return []
        # From here on whoever hangs up gets all of it kept, not half.
        done = await room.do_to_the_end(partial(kept, recording, url, player, ended))
        return [KeptPassage(kind=one.kind, run=one.run, start_ms=ms(one.passage.start_ns)) for one in done]
