"""The routes of the proposal for today: what to practise and why, refusing a line, and taking refusals back."""

import asyncio
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import Annotated

from fastapi import Body, FastAPI
from pydantic import Field
from typing_extensions import TypedDict

from chanterd.history.answers import Way
from chanterd.history.free_runs import ways_in_free
from chanterd.history.refusals import forgive, refuse, refused
from chanterd.history.repertoire import WorkedOn, worked_on
from chanterd.history.sittings import known_ways
from chanterd.history.tune_runs import ways_in_tunes
from chanterd.music.drill import drill_from_words
from chanterd.music.note import note_from_words
from chanterd.music.ornament import Book
from chanterd.music.tunes.listing import drills_of
from chanterd.music.tunes.shelf import Shelf
from chanterd.practice.proposal.in_tunes import WorkedTune
from chanterd.practice.proposal.line import ProposalLine, Why
from chanterd.practice.proposal.mastery import joined
from chanterd.practice.proposal.proposal import Proposal, place_of, propose
from chanterd.practice.proposal.today import plan_of
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.wire import shapes


class RefusalRequest(AtSeat):
    """The body of ``POST /api/proposal/refused``."""

    drill: str = Field(description="The drill of a line; its stage does not matter.", max_length=200)
    week: bool = Field(default=False, description="True: not for a week. False: not today.")


class LineShown(TypedDict):
    """One line of the proposal."""

    why: Why
    drill: str
    click_bpm: float
    aim_bpm: float
    minutes: float
    reason: str


class ProposalShown(TypedDict):
    """The proposal for today."""

    day: str
    lines: list[LineShown]
    done: list[str]
    """The drills practised enough today."""
    refused: list[str]
    """The drills left out today because the player refused them."""


def add_proposal_routes(app: FastAPI, daemon: Daemon, shelf: Shelf) -> None:
    """Add them."""
    store, tables = daemon.history.store, daemon.tables
    rule, book = tables.proposal, tables.book

    def today() -> date:
        return date.fromisoformat(daemon.history.wall().day)

    def proposed(player: int) -> tuple[Proposal, list[Way]]:
        with store.reading() as connection:
            drilled, elsewhere = (
                known_ways(connection, player, rule.in_a_row, book),
                [*ways_in_tunes(connection, player, book), *ways_in_free(connection, player, book)],
            )
            ways = refused(connection, player, today())
            working = worked_on(connection, player)
        places = {(way.ornament, note_from_words(way.lead), note_from_words(way.theme)) for way in ways}
        known = list(joined(drilled, elsewhere).values())
        return propose(known, places, today(), rule, book, _tunes(working, shelf, book)), ways

    def shown(player: int) -> ProposalShown:
        proposal, ways = proposed(player)
        return ProposalShown(
            day=proposal.day.isoformat(),
            lines=[_line(line) for line in proposal.lines],
            done=[drill.words for drill in proposal.done],
            refused=[f"{way.ornament} from {way.lead} to {way.theme}" for way in ways],
        )

    async def changed(seat: str | None, change: Callable[[int], None]) -> ProposalShown:
        player = daemon.seat(seat).player.number

        def act() -> ProposalShown:
            change(player)
            return shown(player)

        return await asyncio.to_thread(act)

    @app.get("/api/proposal")
    async def proposal(seat_id: SeatId = None) -> ProposalShown:
        """What to practise today, and why."""
        return await changed(seat_id, lambda _: None)

    @app.post("/api/proposal/refused")
    async def not_this(request: Annotated[RefusalRequest, Body()]) -> ProposalShown:
        """Refuse a line, and propose another instead."""
        name, lead, theme = place_of(drill_from_words(request.drill, book))
        until = today() + timedelta(days=rule.week_days - 1 if request.week else 0)
        way = Way(name, lead.words, theme.words)
        return await changed(request.seat, lambda player: refuse(store, player, way, until))

    @app.delete("/api/proposal/refused")
    async def all_again(seat_id: SeatId = None) -> ProposalShown:
        """Take back all refusals."""
        return await changed(seat_id, lambda player: forgive(store, player))

    @app.post("/api/proposal/session")
    async def all_of_it(request: Annotated[AtSeat, Body()]) -> shapes.SessionShown:
        """Start the whole proposal as a plan."""
        player = daemon.seat(request.seat).player.number
        proposal, _ = await asyncio.to_thread(proposed, player)
        return daemon.begin_plan(request.seat, plan_of(proposal, tables)).shown


def _tunes(working: Sequence[WorkedOn], shelf: Shelf, book: Book) -> list[WorkedTune]:
    """Those that can be read; one whose file is gone asks for nothing."""
    there = {one.key: one.tune for one in shelf.tunes()} if working else {}
    return [
        WorkedTune(
            title=tune.title or one.tune,
            performance=one.performance,
            ornaments={place_of(drill): times for drill, times in drills_of(tune, book).items()},
        )
        for one in working
        if (tune := there.get(one.tune)) is not None
    ]


def _line(line: ProposalLine) -> LineShown:
    return LineShown(
        why=line.why,
        drill=line.drill.words,
        click_bpm=line.click_bpm,
        aim_bpm=line.aim_bpm,
        minutes=line.minutes,
        reason=line.reason,
    )
