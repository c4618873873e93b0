"""The routes of past free playing: list runs, look at one, hear it elsewhere, delete it. Threads do the reading."""

from fastapi import FastAPI, Response
from pydantic import BaseModel

from chanterd.history.free_runs import (
    FreeRunSeen,
    delete_free_run,
    free_run_of,
    free_runs_of,
    free_take_of,
    ornaments_of,
)
from chanterd.listening.report import HeardOrnament
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import Before, Most, Number, PlayerNumber


class FreeRunWhole(BaseModel):
    """A run of free playing with every ornament; times count from the beginning of its take."""

    run: FreeRunSeen
    ornaments: list[HeardOrnament]


def add_past_free_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    store = daemon.history.store

    @app.get("/api/history/free")
    def runs(player: PlayerNumber, most: Most = 50, before: Before = None) -> list[FreeRunSeen]:
        """The runs of a player in which nothing was chosen, the newest first."""
        with store.reading() as connection:
            oldest = None if before is None else free_run_of(connection, before)
            return free_runs_of(connection, player, most=most, before=oldest)

    @app.get("/api/history/free/{run}")
    def one_run(run: Number) -> FreeRunWhole:
        """A run of free playing with every ornament."""
        with store.reading() as connection:
            return FreeRunWhole(run=free_run_of(connection, run), ornaments=ornaments_of(connection, run))

    @app.delete("/api/history/free/{run}")
    def forget_run(run: Number) -> None:
        """Delete a run of free playing for good."""
        delete_free_run(store, run)

    @app.get("/api/history/free/{run}/take.mid", response_class=Response)
    def take(run: Number) -> Response:
        """The take of a run of free playing as a Standard MIDI File."""
        with store.reading() as connection:
            midi = free_take_of(connection, run)
        name = {"content-disposition": f'attachment; filename="free-run-{run}.mid"'}
        return Response(midi, media_type="audio/midi", headers=name)
