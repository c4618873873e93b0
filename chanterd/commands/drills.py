"""``chanterd drills``: lists the ornaments of the book, or the drills that words choose."""

import json
from collections.abc import Iterator
from itertools import groupby
from typing import Annotated

import typer

from chanterd.commands.options import AsJson, DataFolder, data_folder, show
from chanterd.config import ChanterdError
from chanterd.music.book import read_book
from chanterd.music.choice import choose
from chanterd.music.drill import Drill, all_drills, list_drill
from chanterd.music.ornament import Book
from chanterd.progress.words import count

app = typer.Typer(add_completion=False)


@app.command()
def drills(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[WORDS]...", help="Such as 'grip', 'C doubling' or 'grip from B'; left out, the ornaments."
        ),
    ] = None,
    data: DataFolder = None,
    *,
    as_json: AsJson = False,
) -> None:
    """List the ornaments of the book, or the drills that the words choose."""
    book = read_book(data_folder(data))
    if as_json:
        show([json.dumps([list_drill(drill) for drill in _found(words, book)], indent=1)])
    elif words:
        found = choose([" ".join(words)], book)
        show([*(f"{drill.words}: {drill.spelled}" for drill in found), f"{count(len(found), 'drill')}."])
    else:
        show([*_ornaments(book), "For the drills of one: 'chanterd drills NAME', such as 'chanterd drills grip'."])


def _found(words: list[str] | None, book: Book) -> list[Drill]:
    """The drills for a program: all of them without words, none where the words find none."""
    if not words:
        return list(all_drills(book))
    try:
        return choose([" ".join(words)], book)
    except ChanterdError:
        return []


def _ornaments(book: Book) -> Iterator[str]:
    """A line to an ornament, chapter by chapter, with its other names."""
    for chapter, ornaments in groupby(book.ornaments, key=lambda one: one.chapter):
        yield chapter
        for ornament in ornaments:
            also = f" (also {', '.join(ornament.also)})" if ornament.also else ""
            yield f"  {ornament.name}{also}"
