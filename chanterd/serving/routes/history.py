"""The routes of the history: runs, their takes, and everything as a file. Threads do all the reading."""

import tempfile
import zipfile
from collections.abc import Iterator
from typing import IO, Annotated

from fastapi import FastAPI, Query, Response
from fastapi.responses import StreamingResponse
from pydantic import BaseModel
from sqlalchemy import Connection

from chanterd.config import ChanterdError
from chanterd.history.answers import RunSeen
from chanterd.history.damage import damage_said, read_reps
from chanterd.history.export import TABLES, checked_format, csv_pieces, json_pieces
from chanterd.history.players import delete_run
from chanterd.history.queries import run_of, runs_of
from chanterd.history.store import Store
from chanterd.history.takes import take_of
from chanterd.judging.report import RepResult
from chanterd.judging.standard import standard_of
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import Before, Most, Number, PlayerNumber

PIECE = 65_536
"""Bytes of a file that are sent at a time."""
IN_MEMORY = 4 * 1024 * 1024
"""Bytes of an archive that are kept in memory before it goes to a temporary file."""

Player = Annotated[PlayerNumber | None, Query(description="The number of a player. Without it, everybody's.")]


class RunWhole(BaseModel):
    """A run with its reps."""

    run: RunSeen
    on_beat_ms: float
    """As in a run in progress; by the usual standard if its own no longer exists."""
    reps: list[RepResult]
    damaged: list[int]
    """The numbers, from 0, of reps that cannot be read and are left out."""
    said: str | None
    """The same in a sentence for a player; None if there are none."""


def add_history_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    store = daemon.history.store

    def seen(connection: Connection, run: int) -> RunSeen:
        found = run_of(connection, run)
        if found is None:
            raise ChanterdError(f"There is no run {run}; it may have been deleted.")
        return found

    @app.get("/api/history/runs")
    def runs(player: PlayerNumber, most: Most = 50, before: Before = None) -> list[RunSeen]:
        """The runs of a player, the newest first."""
        with store.reading() as connection:
            oldest = None if before is None else seen(connection, before)
            return runs_of(connection, player, most=most, before=oldest)

    @app.get("/api/history/runs/{run}")
    def one_run(run: Number) -> RunWhole:
        """A run with its reps."""
        with store.reading() as connection:
            one, (reps, damaged) = seen(connection, run), read_reps(connection, run)
        standard = standard_of(one.standard, daemon.tables.standards)
        return RunWhole(
            run=one,
            on_beat_ms=standard.on_beat_ms(one.click_bpm),
            reps=reps,
            damaged=damaged,
            said=damage_said(damaged) if damaged else None,
        )

    @app.delete("/api/history/runs/{run}")
    def forget_run(run: Number) -> None:
        """Delete a run for good."""
        delete_run(store, run)

    @app.get("/api/history/runs/{run}/take.mid", response_class=Response)
    def take(run: Number) -> Response:
        """The take of a run as a Standard MIDI File."""
        with store.reading() as connection:
            return _file(iter([take_of(connection, run)]), "audio/midi", f"run-{run}.mid")

    @app.get("/api/history/export", response_class=Response)
    def export(form: Annotated[str, Query(alias="format")], player: Player = None) -> Response:
        """The whole history, as JSON or as CSV tables in a ZIP."""
        if checked_format(form) == "json":
            return _file(_json(store, player), "application/json", "chanterd.json")
        return _file(_pieces(_archive(store, player)), "application/zip", "chanterd.zip")


def _file(pieces: Iterator[bytes], kind: str, name: str) -> StreamingResponse:
    return StreamingResponse(pieces, media_type=kind, headers={"content-disposition": f'attachment; filename="{name}"'})


def _json(store: Store, player: int | None) -> Iterator[bytes]:
    with store.reading() as connection:
        for piece in json_pieces(connection, player):
            yield piece.encode()


def _archive(store: Store, player: int | None) -> IO[bytes]:
    """The tables in a temporary file, which closing deletes."""
    file = tempfile.SpooledTemporaryFile(IN_MEMORY)  # noqa: SIM115 - closed when it has been sent
    with store.reading() as connection, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for table in TABLES:
            with archive.open(f"{table}.csv", "w") as member:
                for piece in csv_pieces(connection, table, player):
                    member.write(piece.encode())
    file.seek(0)
    return file


def _pieces(file: IO[bytes]) -> Iterator[bytes]:
    with file:
        while piece := file.read(PIECE):
            yield piece
