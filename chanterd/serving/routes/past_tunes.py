"""The routes of past runs through tunes: list them, look at one, hear it again, delete it. Threads do the reading."""

from pathlib import Path
from typing import Annotated

from fastapi import FastAPI, Query, Response
from pydantic import BaseModel

from chanterd.assessing.tune_again import heard_again, judge_tune_again, tune_of_run
from chanterd.config import ChanterdError
from chanterd.hearing.take import parse_take
from chanterd.history.tune_rejudged import tune_runs_to_judge
from chanterd.history.tune_runs import (
    TuneRunSeen,
    delete_tune_run,
    result_of,
    tune_run_of,
    tune_runs_of,
    tune_take_of,
)
from chanterd.judging.tunes.report import NoteResult
from chanterd.music.tunes.shelf import Shelf
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import Before, Most, Number, PlayerNumber
from chanterd.serving.wire.past_tunes import take_again
from chanterd.serving.wire.playing import TuneResult, places_of
from chanterd.serving.wire.tunes import HeardTune

TuneKey = Annotated[str | None, Query(max_length=200, description="Only runs through this tune, by its key.")]


class TuneRunWhole(BaseModel):
    """A run through a tune with all that was judged."""

    run: TuneRunSeen
    result: TuneResult | None
    """None if only its figures were kept, or it cannot be read."""
    notes: list[NoteResult]
    """One entry for each time that a note of the tune was reached, in the order of time."""
    same: bool
    """Whether the tune is at hand as it was when it was played."""
    said: str | None
    """What is missing, in a sentence for a player; None if nothing is."""


def add_past_tune_routes(app: FastAPI, daemon: Daemon, shelf: Shelf) -> None:
    """Add them."""
    store = daemon.history.store

    @app.get("/api/history/tunes")
    def runs(player: PlayerNumber, tune: TuneKey = None, most: Most = 50, before: Before = None) -> list[TuneRunSeen]:
        """The runs of a player through tunes, the newest first."""
        with store.reading() as connection:
            oldest = None if before is None else tune_run_of(connection, before)
            return tune_runs_of(connection, player, tune=tune, most=most, before=oldest)

    @app.get("/api/history/tunes/{run}")
    def one_run(run: Number) -> TuneRunWhole:
        """A run with every note and ornament; one that was cut off or is damaged is judged from its take."""
        now = daemon.history.wall()
        with store.reading() as connection:
            tune_run_of(connection, run)
            played, stored = result_of(connection, run), tune_runs_to_judge(connection, now, run=run)
        same, said = True, None
        try:
            for one in stored:
                tune_of_run(one, shelf)
                if played is None:
                    played = judge_tune_again(store, one, shelf, daemon.tables, now)
        except ChanterdError as error:
            same, said = False, str(error)
        if played is None and said is None:
            said = "Of this run only the figures were kept: an older chanterd kept no take."
        with store.reading() as connection:
            seen = tune_run_of(connection, run)
        if played is None:
            return TuneRunWhole(run=seen, result=None, notes=[], same=same, said=said)
        result = TuneResult(summary=played["summary"], places=places_of(played["notes"]))
        return TuneRunWhole(run=seen, result=result, notes=played["notes"], same=same, said=said)

    @app.delete("/api/history/tunes/{run}")
    def forget_run(run: Number) -> None:
        """Delete a run for good."""
        delete_tune_run(store, run)

    @app.get("/api/history/tunes/{run}/take.mid", response_class=Response)
    def take(run: Number) -> Response:
        """The take of a run as a Standard MIDI File."""
        with store.reading() as connection:
            midi = tune_take_of(connection, run)
        name = {"content-disposition": f'attachment; filename="tune-run-{run}.mid"'}
        return Response(midi, media_type="audio/midi", headers=name)

    @app.get("/api/history/tunes/{run}/heard")
    def heard(run: Number) -> HeardTune:
        """A run as it was played, in seconds."""
        with store.reading() as connection:
            midi = parse_take(Path(f"run {run}"), tune_take_of(connection, run))
            stored = tune_runs_to_judge(connection, daemon.history.wall(), run=run)
        if not stored:
            raise ChanterdError(f"Run {run} goes on still; stop it first.")
        try:
            tune = tune_of_run(stored[0], shelf)
        except ChanterdError:
            tune = None  # it can be heard all the same
        return take_again(heard_again(stored[0], midi, tune, daemon.tables))
