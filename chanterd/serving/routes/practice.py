"""The routes of practice: start a run or a ladder, stop it, and guess about a rep."""

import asyncio
from typing import Annotated, Any

from fastapi import Body, FastAPI
from pydantic import Field

from chanterd.config import ChanterdError
from chanterd.music.drill import drill_from_words
from chanterd.music.tunes.shelf import Shelf
from chanterd.practice.exercise import ExerciseWords
from chanterd.practice.passage.asked import TuneWords
from chanterd.serving.access.gate import GrantOf
from chanterd.serving.access.grants import Grant, Role
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.seats.seat import Seat
from chanterd.serving.wire import shapes
from chanterd.serving.wire.playing import TuneRunShown


class PracticeRequest(AtSeat):
    """The body of ``POST /api/practice``."""

    drill: str | None = Field(None, description="In the trade's words, such as 'grip from B to C'.", max_length=200)
    tune: str | None = Field(
        None, description="Instead of a drill: a tune's key, as listed by GET /api/tunes.", max_length=200
    )
    first: int | None = Field(None, alias="from", description="With a tune: the first note, from 0 as written.")
    last: int | None = Field(None, alias="to", description="With a tune: the last note; left out, to its end.")
    ornament: int | None = Field(
        None, description="With a tune, instead of 'from' and 'to': the note whose ornament is taken out, from 0."
    )
    width: str | None = Field(
        None,
        description="How much around that ornament: 'ornament' (with the note before and after), 'beat', 'bar', "
        "'two bars', 'part' or 'tune'.",
        max_length=20,
    )
    stage: int | None = Field(None, description="The stage of that ornament's build-up, from 1; left out, all of it.")
    widen: dict[str, Any] | None = Field(
        None,
        description="With a tune: a ladder that widens the passage at one tempo: 'in_a_row', 'tries', 'to' (a width).",
    )
    click_bpm: float | None = Field(None, description="Clicks a minute, 20 to 300; a ladder may give it instead.")
    standard: str | None = Field(None, description="'learner', 'steady', 'competition' or one of your own.")
    spread: float | None = Field(None, description="The share of a click that a held step takes, 0.01 to 0.3.")
    layout: str | None = Field(None, description="How a rep fits the clicks: 'two clicks', 'every click', ...")
    ladder: dict[str, Any] | None = Field(
        None,
        description="The rule of a tempo ladder, as in the state's 'ladder'; what is left out is as usual, "
        "and it begins at click_bpm.",
    )
    feedback: str | None = Field(
        None, description="Which reps are shown, and when: 'every rep', 'after five', 'say first', ..."
    )
    click_off: bool = Field(default=False, description="The click stops with the count-in.")


class PlacementRequest(AtSeat):
    """The body of ``POST /api/placement``."""

    drill: str = Field(
        description="A drill with its beat where the player puts it, such as 'birl from E, beat on low A'.",
        max_length=200,
    )


class GuessRequest(AtSeat):
    """The body of ``POST /api/guess``."""

    rep: int = Field(description="The rep to guess about, from 0.")
    guess: str = Field(description="'early', 'on' (on the beat) or 'late'.", max_length=20)


OF_DRILLS = {"click_bpm", "standard", "spread", "layout", "click_off", "feedback", "ladder"}
"""What of a request is about drills, besides the drill."""
OF_TUNES = {"click_bpm", "first", "last", "standard", "click_off", "feedback", "ladder"}
ONLY_OF_TUNES = {"ornament", "width", "stage", "widen"}
"""The same of tunes, and what no drill has."""


def add_practice_routes(app: FastAPI, daemon: Daemon, shelf: Shelf) -> None:
    """Add them to the application."""

    def seat_of(grant: Grant, seat_id: str | None) -> Seat:
        """The seat, for its own grant only while no class goes on there."""
        seat = daemon.seat_for(grant, seat_id)
        run = daemon.classroom.run
        if grant.role is not Role.DESK and run is not None and seat.id in run.seats:
            raise ChanterdError("Your class is playing; your teacher starts and stops it.")
        return seat

    @app.post("/api/practice")
    async def practise(
        request: Annotated[PracticeRequest, Body()], grant: GrantOf
    ) -> shapes.PracticeShown | TuneRunShown:
        """Start a run after a count-in."""
        seat_id = seat_of(grant, request.seat).id
        if request.tune is not None:
            return await play(seat_id, request.tune, request)
        if request.drill is None:
            raise ChanterdError(
                "The field 'drill' is missing; it must be such as 'grip from B to C', or name a 'tune'."
            )
        if request.first is not None or request.last is not None:
            raise ChanterdError("'from' and 'to' are notes of a tune; name it in 'tune', or leave them out.")
        for name in sorted(ONLY_OF_TUNES):
            if getattr(request, name) is not None:
                raise ChanterdError(f"'{name}' is about a passage of a tune; name it in 'tune', or leave it out.")
        return daemon.practise(seat_id, ExerciseWords(request.drill, **request.model_dump(include=OF_DRILLS)))

    async def play(seat_id: str, key: str, request: PracticeRequest) -> TuneRunShown:
        """A tune or a passage of it, over and over."""
        drills_only = {name for name in ("drill", "spread", "layout") if getattr(request, name)}
        if drills_only:
            raise ChanterdError(f"A tune is played as it is written; leave out {' and '.join(sorted(drills_only))}.")
        tune = (await asyncio.to_thread(shelf.find, key)).tune
        if tune is None:
            raise ChanterdError(f"The tune '{key}' cannot be read.")
        words = TuneWords(**request.model_dump(include=OF_TUNES | ONLY_OF_TUNES))
        return daemon.play_tune(seat_id, key, tune, words)

    @app.delete("/api/practice")
    async def stop(grant: GrantOf, seat_id: SeatId = None) -> shapes.SeatShown:
        """Stop the run."""
        seat = seat_of(grant, seat_id)
        seat.stop_practice()
        return seat.shown()

    @app.post("/api/placement")
    async def choose_placement(request: Annotated[PlacementRequest, Body()]) -> shapes.SeatShown:
        """Put the beat of an ornament where the drill has it, from now on, for the player at this seat."""
        seat = daemon.seat(request.seat)
        daemon.choose_placement(seat, drill_from_words(request.drill, daemon.tables.book))
        return seat.shown()

    @app.post("/api/guess")
    async def guess(request: Annotated[GuessRequest, Body()], grant: GrantOf) -> shapes.SeatShown:
        """Guess whether a rep was early, on the beat or late, before seeing it."""
        seat = daemon.seat_for(grant, request.seat)
        seat.guess(request.rep, request.guess)
        return seat.shown()
