"""Progress for the stand-in: what the daemon would tell of simulated practice, out of a history made for it."""

import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Annotated

from fastapi import FastAPI, Query

from chanterd.history.answers import Span
from chanterd.history.players import Player
from chanterd.history.store import FILE, open_store
from chanterd.judging.standard import read_standards
from chanterd.progress.progress import Progress, progress_of
from chanterd.progress.report import Report, report_of
from chanterd.progress.span import span_from_words
from tests.history.practised_runs import practise, somebody
from tests.progress.simulated_history import practise_days

STANDARDS = read_standards()
NAME = "Ailsa"
ONLY_STAGES = -1
"""In place of a number of days: four reps of a stage."""


@cache
def written(days: int) -> bytes:
    """A history with that many days of simulated practice, as a file."""
    with tempfile.TemporaryDirectory() as folder:
        store = open_store(None, Path(folder))
        person = somebody(store, NAME)
        if days > 0:
            practise_days(store, person, days)
        elif days == ONLY_STAGES:
            practise(store, person, [0.0] * 4, words="grip from B to C, stage 1")
        store.close()
        return (Path(folder) / FILE).read_bytes()


class Practised:
    """So many days of simulated practice; 0: nothing yet."""

    def __init__(self, days: int) -> None:
        self.asked: list[tuple[Span, int, str | None]] = []
        self._folder = tempfile.TemporaryDirectory()
        (Path(self._folder.name) / FILE).write_bytes(written(days))
        self._store = open_store(None, Path(self._folder.name))
        self._person = Player(1, NAME)

    def progress(self, span: Span, in_a_row: int, drill: str | None) -> Progress:
        """As the daemon would tell it."""
        self.asked.append((span, in_a_row, drill))
        with self._store.reading() as connection:
            return progress_of(connection, self._person, span, STANDARDS, in_a_row, drill)

    def report(self, span: Span, in_a_row: int) -> Report:
        """As the daemon would tell it."""
        with self._store.reading() as connection:
            return report_of(connection, self._person, span, STANDARDS, in_a_row)

    def close(self) -> None:
        """Let go of it."""
        self._store.close()
        self._folder.cleanup()


def add_practised(app: FastAPI, practised: Callable[[], Practised]) -> None:
    """Add the routes of the progress view; asked in the event loop, so by one at a time."""

    @app.get("/api/progress")
    async def progress(
        first: Annotated[str | None, Query(alias="from")] = None, in_a_row: int = 3, drill: str | None = None
    ) -> Progress:
        return practised().progress(Span(first), in_a_row, drill)

    @app.get("/api/report")
    async def report(
        first: Annotated[str, Query(alias="from")], last: Annotated[str, Query(alias="to")], in_a_row: int = 3
    ) -> Report:
        return practised().report(span_from_words(first, last), in_a_row)
