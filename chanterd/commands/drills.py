"""``chanterd drills``: lists every drill in the book."""

import json
from typing import Annotated

import typer

from chanterd.commands.options import AsJson, DataFolder, data_folder, show
from chanterd.music.book import read_book
from chanterd.music.drill import all_drills, list_drill
from chanterd.progress.words import count

app = typer.Typer(add_completion=False)


@app.command()
def drills(
    words: Annotated[
        list[str] | None,
        typer.Argument(metavar="[WORDS]...", help="Only drills with all of these words in their names."),
    ] = None,
    data: DataFolder = None,
    *,
    as_json: AsJson = False,
) -> None:
    """List every drill in the book."""
    wanted = [word.lower() for word in words or []]
    book = read_book(data_folder(data))
    found = [drill for drill in all_drills(book) if all(word in drill.words.lower() for word in wanted)]
    if as_json:
        show([json.dumps([list_drill(drill) for drill in found], indent=1)])
        return
    total = f"{count(len(found), 'drill')}." if found else f"No drill has all of the words {' '.join(words or [])}."
    show([*(f"{drill.words}: {drill.spelled}" for drill in found), total])
