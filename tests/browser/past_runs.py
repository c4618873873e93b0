"""Past runs for the stand-in: a small history with real reps of simulated playing, and the routes that tell of it."""

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.responses import JSONResponse, Response
from pydantic import TypeAdapter

from chanterd.history.answers import RunSeen
from chanterd.history.players import delete_run
from chanterd.history.queries import reps_of, run_of, runs_of
from chanterd.history.store import open_store
from tests.history.practised_runs import noon, practise, somebody

SEEN = TypeAdapter(RunSeen)


class PastRuns:
    """Three runs on two days: two grips, and a grip's first stage."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory()
        self.store = open_store(None, Path(self._folder.name))
        person = somebody(self.store)
        practise(self.store, person, [0.0, 4.0, 90.0, -3.0, 2.0])
        practise(self.store, person, [0.0, 2.0], words="grip from B to C, stage 1", wall=noon(1))
        practise(self.store, person, [12.0, 8.0, None, 5.0] * 6, words="birl from E", bpm=72.0, wall=noon(1))

    def runs(self) -> list[Any]:
        """As the daemon would tell it."""
        with self.store.reading() as connection:
            return [SEEN.dump_python(run, mode="json") for run in runs_of(connection, 1)]

    def close(self) -> None:
        """Let go of it."""
        self.store.close()
        self._folder.cleanup()


def add_past_runs(app: FastAPI, past_runs: Callable[[], PastRuns]) -> None:
    """Add the routes."""

    @app.get("/api/history/runs")
    def runs(player: int) -> list[Any]:
        assert player >= 1
        return past_runs().runs()

    @app.get("/api/history/tunes")
    def tunes() -> list[dict[str, Any]]:
        """No tune was played."""
        return []

    @app.get("/api/history/free")
    def free() -> list[dict[str, Any]]:
        """Nothing was played unasked."""
        return []

    @app.get("/api/history/runs/{run}")
    def one(run: int) -> Response:
        with past_runs().store.reading() as connection:
            seen = run_of(connection, run)
            if seen is None:
                return JSONResponse({"said": f"There is no run {run}; it may have been deleted."}, 422)
            return JSONResponse(
                {"run": SEEN.dump_python(seen, mode="json"), "on_beat_ms": 25.0, "reps": reps_of(connection, run)}
            )

    @app.delete("/api/history/runs/{run}")
    def forget(run: int) -> None:
        delete_run(past_runs().store, run)

    @app.get("/api/history/runs/{run}/take.mid")
    def take(run: int) -> Response:
        headers = {"content-disposition": f'attachment; filename="run-{run}.mid"'}
        return Response(b"MThd", media_type="audio/midi", headers=headers)
