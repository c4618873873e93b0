"""``chanterd drills``: lists the ornaments of the book, or the drills that words choose."""

import json
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Annotated

import typer

from chanterd.commands.options import AsJson, DataFolder, data_folder, show
from chanterd.music.book import read_book
from chanterd.music.choice import choose
from chanterd.music.drill import Drill, all_drills, list_drill
from chanterd.music.ornament import Book
from chanterd.music.placement import choices
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
        found = choose([" ".join(words)], book) if words else all_drills(book)
        show([json.dumps([list_drill(drill) for drill in found], indent=1)])
    elif words:
        found = choose([" ".join(words)], book)
        show(
            [
                *(f"{drill.words}: {drill.spelled}" for drill in found),
                *_disputes(found, book),
                f"{count(len(found), 'drill')}.",
            ]
        )
    else:
        show([*_ornaments(book), "For the drills of one: 'chanterd drills NAME', such as 'chanterd drills grip'."])


def _disputes(drills: Sequence[Drill], book: Book) -> Iterator[str]:
    """A line to each of their ornaments about which teachers disagree, with the words for another beat."""
    seen: dict[str, Drill] = {}
    for drill in drills:
        if len(list(choices(drill.ornament, drill.lead, drill.theme))) > 1:
            seen.setdefault(drill.ornament.name, drill)
    for name in dict.fromkeys(drill.ornament.name for drill in drills):
        ornament = book.find(name)
        places = list_drill(seen[name])["placements"] if name in seen else []
        others = [f"'{one['drill']}'" for one in places[1:]]
        ask = f" Ask for it as {' or '.join(others)}." if others else ""
        if ornament.disputed:
            yield f"Disputed, {name}: {ornament.disputed}{ask}"


def _ornaments(book: Book) -> Iterator[str]:
    """A line to an ornament, chapter by chapter, with its other names."""
    for chapter, ornaments in groupby(book.ornaments, key=lambda one: one.chapter):
        yield chapter
        for ornament in ornaments:
            also = f" (also {', '.join(ornament.also)})" if ornament.also else ""
            yield f"  {ornament.name}{also}{'; disputed' if ornament.disputed else ''}"
