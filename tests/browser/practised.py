"""Progress for the stand-in: what the daemon would tell of simulated practice, out of a history made for it."""

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

from fastapi import FastAPI, Query

from chanterd.history.answers import Span
from chanterd.history.players import Person, create
from chanterd.history.store import open_store
from chanterd.progress.progress import Progress, progress_of
from chanterd.progress.report import Report, report_of
from tests.history.practice import noon
from tests.progress.simulated import practise_days


class Practised:
    """So many days of simulated practice, written when they are first asked for; 0: nothing yet."""

    def __init__(self, days: int) -> None:
        self.days = days
        self.asked: list[tuple[Span, int, str | None]] = []
        self._folder = tempfile.TemporaryDirectory()
        self._store = open_store(None, Path(self._folder.name))
        self._person: Person | None = None

    def progress(self, span: Span, in_a_row: int, drill: str | None) -> Progress:
        """As the daemon would tell it."""
        self.asked.append((span, in_a_row, drill))
        with self._store.reading() as connection:
            return progress_of(connection, self._somebody(), span, in_a_row, drill)

    def _somebody(self) -> Person:
        if self._person is None:
            self._person = create(self._store, "Ailsa", noon())
            if self.days > 0:
                practise_days(self._store, self._person, self.days)
        return self._person

    def report(self, span: Span, in_a_row: int) -> Report:
        """As the daemon would tell it."""
        with self._store.reading() as connection:
            return report_of(connection, self._somebody(), span, in_a_row)

    def close(self) -> None:
        """Let go of it."""
        self._store.close()
        self._folder.cleanup()


def add_practised(app: FastAPI, practised: Callable[[], Practised]) -> None:
    """Add the routes of the progress view."""

    @app.get("/api/progress")
    def progress(
        first: Annotated[str | None, Query(alias="from")] = None, in_a_row: int = 3, drill: str | None = None
    ) -> Progress:
        return practised().progress(Span(first), in_a_row, drill)

    @app.get("/api/report")
    def report(
        first: Annotated[str, Query(alias="from")], last: Annotated[str, Query(alias="to")], in_a_row: int = 3
    ) -> Report:
        return practised().report(Span(first, last), in_a_row)
