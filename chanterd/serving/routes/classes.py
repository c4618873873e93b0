"""The routes of past classes: the list, the summary of one, its report as a PDF, and deleting its record."""

import asyncio
from contextlib import suppress
from typing import Annotated

from fastapi import FastAPI, Query, Response
from pydantic import BaseModel, Field

from chanterd.config import ChanterdError
from chanterd.engraving.paper import find_paper
from chanterd.history.classes import ClassSeen, classes_of, delete_class
from chanterd.music.drill import Drill, drill_from_words
from chanterd.progress.class_summary import ClassSummary, class_report, class_summary
from chanterd.serving.access.gate import GrantOf
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes import body

SETTLE_S = 2.0
"""How long a summary waits for the last rep to be written, seconds; what is written later is in the next one."""


class KeepRequest(body.Body):
    """The body of ``POST /api/class/keep``."""

    seat: str = Field(description="The seat.", max_length=20)
    keep: bool = Field(description="Whether its player wants the reps of a class in their history.")


class KeepShown(BaseModel):
    """What a player wants."""

    seat: str
    keep: bool
    """Whether the reps of a class are kept in their history."""


def add_classes_routes(app: FastAPI, daemon: Daemon) -> None:
    """Add them."""
    store = daemon.history.store

    def drill_of(words: str) -> Drill | None:
        with suppress(ChanterdError):  # the teacher's book may have changed since
            return drill_from_words(words, daemon.tables.book)
        return None

    def summed_up(number: int) -> ClassSummary:
        daemon.history.writer.settle(SETTLE_S)
        with store.reading() as connection:
            return class_summary(connection, number, drill_of)

    @app.get("/api/classes")
    def all_classes() -> list[ClassSeen]:
        """The classes, the newest first."""
        daemon.history.writer.settle(SETTLE_S)
        with store.reading() as connection:
            return classes_of(connection)

    @app.get("/api/classes/{number}")
    def one_class(number: body.Number) -> ClassSummary:
        """A class: by player what is steady and what to practise next, and how close together the band was."""
        return summed_up(number)

    @app.get("/api/classes/{number}/report.pdf", response_class=Response)
    async def report(
        number: body.Number, paper: Annotated[str, Query(description="a4 or letter.", max_length=20)] = "a4"
    ) -> Response:
        """The summary of a class as a PDF."""
        pdf = await asyncio.to_thread(lambda: _pdf(summed_up(number), paper))
        headers = {"content-disposition": f'inline; filename="class-{number}.pdf"'}
        return Response(pdf, media_type="application/pdf", headers=headers)

    @app.delete("/api/classes/{number}")
    def forget(number: body.Number) -> None:
        """Delete the record of a class; the players' own runs stay."""
        delete_class(store, number)

    @app.get("/api/class/keep")
    async def kept(grant: GrantOf, seat: Annotated[str | None, Query(max_length=20)] = None) -> KeepShown:
        """Whether a player wants the reps of a class in their history."""
        where = daemon.seat_for(grant, seat).id
        return KeepShown(seat=where, keep=daemon.classroom.keeps(where))

    @app.post("/api/class/keep")
    async def keep(grant: GrantOf, request: KeepRequest) -> list[str]:
        """Say whether a player wants the reps of a class in their history; the answer has the seats that do not.

        Teacher and player may both say it; a player is answered about their own seat only.
        """
        where = daemon.seat_for(grant, request.seat).id
        daemon.classroom.keep(where, keep=request.keep)
        return [one for one in daemon.classroom.shown()["unkept"] if grant.seat in (None, one)]


def _pdf(summary: ClassSummary, paper: str) -> bytes:
    # Only here, since it is large and seldom needed.
    from chanterd.progress.paper import report_pdf  # noqa: PLC0415

    return report_pdf(class_report(summary), find_paper(paper))
