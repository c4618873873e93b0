"""The routes of tunes: list them, show one, keep a file, delete one of the player's own."""

import asyncio
from typing import Annotated

from fastapi import Body, FastAPI, Path, Query, Request, Response

from chanterd.config import ChanterdError
from chanterd.engraving.tune import NARROWEST, WIDEST
from chanterd.engraving.workshop import Workshop
from chanterd.hearing.model_tune import model_tune
from chanterd.history.free_runs import ways_in_free
from chanterd.history.sittings import known_ways
from chanterd.history.tune_runs import LISTED, TuneRunSeen, tune_runs_of, ways_in_tunes
from chanterd.music import grid
from chanterd.music.spread import standard_spread
from chanterd.music.tunes.excerpts import parts_of
from chanterd.music.tunes.listing import drills_of
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.music.units import Bpm
from chanterd.practice.proposal.from_tune import plan_of_tune
from chanterd.practice.proposal.mastery import WayWork, joined, work_of
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.wire import shapes
from chanterd.serving.wire.tunes import (
    HeardTune,
    MasteryShown,
    TuneRow,
    TuneShown,
    heard_tune,
    mastery_shown,
    tune_row,
    tune_shown,
)

TuneKey = Annotated[str, Path(max_length=200, description="A tune's key, as listed by GET /api/tunes.")]
PartNumber = Annotated[int, Query(ge=1, le=1000, description="Which part, from 1.")]
NoteIndex = Annotated[int, Query(ge=0, le=1_000_000, description="A melody note, counted from 0.")]
StaffWidth = Annotated[float, Query(ge=NARROWEST, le=WIDEST, description="Of a row, in staff spaces.")]
FileName = Annotated[str, Query(alias="name", max_length=300, description="The file's name, such as march.abc.")]


def add_tune_routes(app: FastAPI, daemon: Daemon, shelf: Shelf, workshop: Workshop) -> None:
    """Add them to the application. Files are read in a thread, so that nobody who plays waits for one."""
    book, rule, store = daemon.tables.book, daemon.tables.proposal, daemon.history.store
    writing = asyncio.Lock()  # two files of one name at once must get two names

    def listed() -> list[TuneRow]:
        return [tune_row(one) for one in shelf.tunes()]

    @app.get("/api/tunes")
    async def tunes() -> list[TuneRow]:
        """Every tune."""
        return await asyncio.to_thread(listed)

    @app.get("/api/tunes/{tune}")
    async def one(tune: TuneKey) -> TuneShown:
        """One tune with every note, gracenote and ornament."""

        def show() -> TuneShown:
            return tune_shown(tune, found(tune), book, own=shelf.find(tune).own)

        return await asyncio.to_thread(show)

    def found(key: str) -> Tune:
        tune = shelf.find(key).tune
        if tune is None:
            raise ChanterdError(shelf.find(key).said)
        return tune

    async def work(key: str, seat_id: str | None) -> list[WayWork]:
        player = daemon.seat(seat_id).player.number

        def look() -> list[WayWork]:
            with store.reading() as connection:
                known = joined(
                    known_ways(connection, player, rule.in_a_row, book),
                    [*ways_in_tunes(connection, player, book), *ways_in_free(connection, player, book)],
                )
            return work_of(drills_of(found(key), book), known, rule)

        return await asyncio.to_thread(look)

    @app.get("/api/tunes/{tune}/staff", response_class=Response)
    async def staff(tune: TuneKey, part: PartNumber = 1, width: StaffWidth = 90.0) -> Response:
        """A part of a tune in staff notation, as SVG in rows of that width."""
        whole = await asyncio.to_thread(found, tune)
        parts = parts_of(whole)
        if part > len(parts):
            raise ChanterdError(f"The part is {part}; '{whole.title or tune}' has {len(parts)}.")
        return Response(await workshop.tune(whole, *parts[part - 1], width), media_type="image/svg+xml")

    @app.get("/api/tunes/{tune}/heard")
    async def heard(tune: TuneKey, first: NoteIndex, last: NoteIndex, click_bpm: float) -> HeardTune:
        """When each note of a passage sounds at a tempo, repeats unfolded, in seconds."""

        def sound() -> HeardTune:
            whole, bpm = found(tune), grid.click_bpm(click_bpm)
            if not first <= last < len(whole.notes):
                raise ChanterdError(
                    f"The passage is from note {first} to {last}; '{whole.title or tune}' has notes 0 to "
                    f"{len(whole.notes) - 1}, and the first comes before the last."
                )
            return heard_tune(model_tune(whole, first, last, bpm, standard_spread(), book))

        return await asyncio.to_thread(sound)

    @app.get("/api/tunes/{tune}/mastery")
    async def mastery(tune: TuneKey, seat_id: SeatId = None) -> list[MasteryShown]:
        """How each ornament of a tune goes for the player at a seat; what most needs work is first."""
        return [mastery_shown(one) for one in await work(tune, seat_id)]

    @app.get("/api/tunes/{tune}/runs")
    async def runs(tune: TuneKey, seat_id: SeatId = None) -> list[TuneRunSeen]:
        """The last runs of the player at a seat through a tune or passages of it, the newest first."""
        player = daemon.seat(seat_id).player.number

        def look() -> list[TuneRunSeen]:
            with store.reading() as connection:
                return tune_runs_of(connection, player, tune=tune, most=LISTED)

        return await asyncio.to_thread(look)

    @app.post("/api/tunes/{tune}/session")
    async def session(tune: TuneKey, request: Annotated[AtSeat, Body()]) -> shapes.SessionShown:
        """Start a plan of the tune's ornaments, the worst first, which ends with the tune."""
        there, whole = await work(tune, request.seat), await asyncio.to_thread(found, tune)
        plan = await asyncio.to_thread(plan_of_tune, tune, whole, there, Bpm(rule.start_bpm), daemon.tables)
        return daemon.begin_plan(request.seat, plan).shown

    @app.post("/api/tunes")
    async def add(request: Request, name: FileName) -> list[TuneRow]:
        """Keep a file of tunes (ABC or MusicXML, at most 5 MB), sent as the body; the tunes in it."""
        data = await request.body()
        async with writing:
            return await asyncio.to_thread(lambda: [tune_row(one) for one in shelf.add(name, data)])

    @app.delete("/api/tunes/{tune}")
    async def delete(tune: TuneKey) -> list[TuneRow]:
        """Delete the file that one of your own tunes is in; the tunes that are left."""
        file = tune.partition(":")[0]
        for plan in [*daemon.tables.plans.values()]:  # one without its tune could not be used
            if any(part.tune is not None and part.tune.partition(":")[0] == file for part in plan.parts):
                raise ChanterdError(f"The plan '{plan.name}' plays this tune; take it out of the plan first.")
        async with writing:
            await asyncio.to_thread(shelf.delete, tune)
        return await asyncio.to_thread(listed)
