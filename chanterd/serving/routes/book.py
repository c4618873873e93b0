"""The routes of the book: every drill in words, in notation and in sound."""

import asyncio
from typing import Annotated

from fastapi import FastAPI, Query, Request, Response
from typing_extensions import TypedDict

from chanterd.config import ChanterdError
from chanterd.engraving.workshop import Workshop
from chanterd.music.choice import choose
from chanterd.music.drill import ListedDrill, drill_from_words, list_drill, names_beat
from chanterd.music.grid import TempoGrid
from chanterd.music.units import Ns
from chanterd.practice.exercise import ExerciseWords, resolve
from chanterd.serving.book_answers import BookPress, answered
from chanterd.serving.daemon import Daemon
from chanterd.serving.routes.body import SeatId
from chanterd.serving.wire.book import BookShown
from chanterd.serving.wire.drill import DrillShown
from chanterd.serving.wire.segments import SegmentShown, segment_view
from chanterd.serving.wire.views import sequence_view
from chanterd.tables import Tables

Drill = Annotated[str, Query(description="In the trade's words, such as 'grip from B to C'.", max_length=200)]
Words = Annotated[str, Query(description="As pipers say it, such as 'C doubling' or 'torluath'.", max_length=200)]

Reps = Annotated[int, Query(description="How many reps to place in time.", ge=1, le=64)]


class TuningShown(TypedDict):
    """A tuning; ``hz`` holds the frequency of each note, low G first."""

    name: str
    said: str
    hz: list[float]


class TimetableShown(TypedDict):
    """A drill in time."""

    asked: DrillShown
    """The drill of the first rep."""
    sequence: list[DrillShown]
    """The drills of reps 0, 1, 2, ..., over and over."""
    segments: list[SegmentShown]
    """When the reps are: as many as were wanted, and no fewer than there are in ``sequence``."""
    click_bpm: float
    clicks_per_rep: int
    ornament_beat: int


class FoundShown(TypedDict):
    """An ornament that words find, and the first of its ways that they mean."""

    ornament: str
    lead: str
    theme: str


class SearchShown(TypedDict):
    """What words find; ``said`` is empty, or names what is nearest if they find nothing."""

    ornaments: list[FoundShown]
    said: str


def add_book_routes(app: FastAPI, daemon: Daemon, workshop: Workshop, press: BookPress) -> None:
    """Add them to the application."""
    tables = daemon.tables

    @app.get("/api/drills", response_model=list[ListedDrill])
    async def drills(request: Request) -> Response:
        """Every drill in the book."""
        return answered((await press.answers()).drills, request)

    @app.get("/api/book", response_model=BookShown)
    async def book(request: Request) -> Response:
        """Every ornament with its names, spelling, ways in and build-up."""
        return answered((await press.answers()).book, request)

    @app.get("/api/drill")
    async def drill(words: Drill, seat_id: SeatId = None) -> ListedDrill:
        """One drill, or the reason why it cannot be played; with a seat, as the player there plays it."""
        found = drill_from_words(words, tables.book)
        asked_there = seat_id is not None and not names_beat(words)
        return list_drill(daemon.theirs(daemon.seat(seat_id), found) if asked_there else found)

    @app.get("/api/found")
    async def found(words: Words) -> SearchShown:
        """The ornaments that somebody means, misspelt too, or the nearest names in a sentence."""
        return await asyncio.to_thread(find_ornaments, words, tables)

    @app.get("/api/timetable")
    async def timetable(
        drill: Drill, click_bpm: float, spread: float | None = None, layout: str | None = None, reps: Reps = 1
    ) -> TimetableShown:
        """When each step of a drill is due."""
        return _timetable(ExerciseWords(drill, click_bpm, spread=spread, layout=layout), tables, reps)

    @app.get("/api/tunings")
    async def tunings() -> list[TuningShown]:
        """The tunings: the frequency of each of the nine notes."""
        return [TuningShown(name=one.name, said=one.said, hz=list(one.hz)) for one in tables.tunings.values()]

    @app.get("/api/staff", response_class=Response)
    async def staff(drill: Drill) -> Response:
        """A drill in staff notation, as SVG."""
        return Response(await workshop.staff(drill), media_type="image/svg+xml")


def find_ornaments(words: str, tables: Tables) -> SearchShown:
    """What the words find, in the book's order."""
    found: dict[str, FoundShown] = {}
    try:
        drills = choose([words], tables.book)
    except ChanterdError as error:
        return SearchShown(ornaments=[], said=str(error))
    for drill in drills:
        name = drill.ornament.name
        found.setdefault(name, FoundShown(ornament=name, lead=drill.lead.words, theme=drill.theme.words))
    return SearchShown(ornaments=list(found.values()), said="")


def _timetable(words: ExerciseWords, tables: Tables, reps: int) -> TimetableShown:
    """A drill in time. Raises ChanterdError with a line for each mistake in the words."""
    exercise = resolve(words, tables)
    score, rep_layout = exercise.score(), exercise.layout
    sequence, grid = sequence_view(score), TempoGrid(exercise.click_bpm, Ns(0))
    return TimetableShown(
        asked=sequence[0],
        sequence=sequence,
        segments=[segment_view(score, grid, turn) for turn in range(max(reps, len(sequence)))],
        click_bpm=exercise.click_bpm,
        clicks_per_rep=rep_layout.clicks,
        ornament_beat=round(rep_layout.first_beat),
    )
