"""Tunes for the stand-in: those that ship, and what is added to them; how their ornaments go is made up."""

import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request, Response

from chanterd.engraving.tune import tune_svg
from chanterd.music.book import standard_book
from chanterd.music.tunes.excerpts import parts_of
from chanterd.music.tunes.listing import drills_of
from chanterd.music.tunes.shelf import Shelf
from chanterd.music.tunes.tune import Tune
from chanterd.practice.proposal.mastery import Mastery, WayWork
from chanterd.serving.wire.tunes import mastery_shown, tune_row, tune_shown


class TuneShelf:
    """A shelf in a folder of its own; the ornaments go in turn never, not yet, nearly and steady."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory()
        self.worked: list[Any] = []
        self.shelf = Shelf(Path(self._folder.name))

    def tune(self, key: str) -> Tune:
        """The tune of that key."""
        tune = self.shelf.find(key).tune
        assert tune is not None
        return tune

    def close(self) -> None:
        """Let go of it."""
        self._folder.cleanup()


def add_tune_shelf(app: FastAPI, shelf: Callable[[], TuneShelf]) -> None:
    """Add the routes."""
    book = standard_book()

    @app.get("/api/tunes")
    def tunes() -> list[Any]:
        return [tune_row(one) for one in shelf().shelf.tunes()]

    @app.get("/api/tunes/{tune}")
    def one(tune: str) -> Any:
        return tune_shown(tune, shelf().tune(tune), book, own=shelf().shelf.find(tune).own)

    @app.get("/api/tunes/{tune}/staff")
    def staff(tune: str, part: int, width: float) -> Response:
        whole = shelf().tune(tune)
        return Response(tune_svg(whole, *parts_of(whole)[part - 1], width), media_type="image/svg+xml")

    @app.get("/api/tunes/{tune}/heard")
    def heard(tune: str, first: int, last: int, click_bpm: float) -> Any:
        notes, click_s = shelf().tune(tune).notes, 60 / click_bpm
        at_s = [4 * float(note.start - notes[first].start) * click_s for note in notes[first : last + 1]]
        sounded = [
            {"at_s": at, "note": note.note.words, "place": first + index}
            for index, (at, note) in enumerate(zip(at_s, notes[first : last + 1], strict=True))
        ]
        return {"notes": sounded, "clicks": [{"at_s": 0.0, "accent": True}], "end_s": at_s[-1] + click_s}

    @app.get("/api/tunes/{tune}/mastery")
    def mastery(tune: str, seat: str) -> list[Any]:
        assert seat == "one"
        found = []
        for place, (drill, times) in enumerate(drills_of(shelf().tune(tune), book).items()):
            how = list(Mastery)[place % len(Mastery)]
            found.append(mastery_shown(WayWork(drill, times, how, 10 * (how != Mastery.NEVER), 5, None)))
        return found

    @app.get("/api/repertoire")
    def repertoire() -> list[Any]:
        return shelf().worked

    @app.post("/api/repertoire")
    async def work_on(request: Request) -> list[Any]:
        sent = await request.json()
        shelf().worked = [{"tune": sent["tune"], "performance": sent["performance"]}]
        return shelf().worked

    @app.delete("/api/repertoire")
    def leave() -> list[Any]:
        shelf().worked = []
        return shelf().worked

    @app.post("/api/tunes")
    async def add(name: str, request: Request) -> list[Any]:
        return [tune_row(one) for one in shelf().shelf.add(name, await request.body())]

    @app.delete("/api/tunes/{tune}")
    def delete(tune: str) -> list[Any]:
        shelf().shelf.delete(tune)
        return tunes()
