"""The routes of practice: start a run or a ladder, stop it, and guess about a rep."""

from typing import Annotated, Any

from fastapi import Body, FastAPI
from pydantic import Field

from chanterd.music.drill import drill_from_words
from chanterd.practice.exercise import ExerciseWords
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import AtSeat, SeatId
from chanterd.serving.wire import shapes


class PracticeRequest(AtSeat):
    """The body of ``POST /api/practice``."""

    drill: str = Field(description="In the trade's words, such as 'grip from B to C'.", max_length=200)
    click_bpm: float = Field(description="Clicks a minute, 20 to 300.")
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


def add_practice_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them to the application."""

    @app.post("/api/practice")
    async def practise(request: Annotated[PracticeRequest, Body()]) -> shapes.PracticeShown:
        """Start a run after a count-in."""
        return daemon.practise(request.seat, ExerciseWords(**request.model_dump(exclude={"seat"})))

    @app.delete("/api/practice")
    async def stop(seat_id: SeatId = None) -> shapes.SeatShown:
        """Stop the run."""
        seat = daemon.seat(seat_id)
        seat.stop_practice()
        return seat.shown()

    @app.post("/api/placement")
    async def choose_placement(request: Annotated[PlacementRequest, Body()]) -> shapes.SeatShown:
        """Put the beat of an ornament where the drill has it, from now on, for the player at this seat."""
        seat = daemon.seat(request.seat)
        daemon.choose_placement(seat, drill_from_words(request.drill, daemon.tables.book))
        return seat.shown()

    @app.post("/api/guess")
    async def guess(request: Annotated[GuessRequest, Body()]) -> shapes.SeatShown:
        """Guess whether a rep was early, on the beat or late, before seeing it."""
        seat = daemon.seat(request.seat)
        seat.guess(request.rep, request.guess)
        return seat.shown()
