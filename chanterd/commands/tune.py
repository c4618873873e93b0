"""``chanterd tune``: the ornaments of a tune, named, with bar and beat."""

import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Annotated

import typer

from chanterd.commands.options import AsJson, DataFolder, data_folder, show, whole_number
from chanterd.music.book import read_book
from chanterd.music.tunes.listing import TableRow, bars_of, list_tune, table_of
from chanterd.music.tunes.read import read_tunes
from chanterd.music.tunes.tune import Remark, Tune
from chanterd.progress.words import count

app = typer.Typer(add_completion=False)

MOST_SHOWN = 5
"""Remarks on a file that are shown one by one."""


@app.command()
def tune(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A tune as .abc, .musicxml or .mxl.")],
    number: Annotated[
        str | None, typer.Option("--number", metavar="N", help="Which tune of the file, from 1; left out, the first.")
    ] = None,
    data: DataFolder = None,
    *,
    as_json: AsJson = False,
) -> None:
    """Name every ornament in a tune, with its bar and beat."""
    tunes = read_tunes(file)
    chosen = 1 if number is None else whole_number("tune --number", number, 1, len(tunes), 1)
    one, book = tunes[chosen - 1], read_book(data_folder(data))
    for line in _remarked(file.name, one.remarks):
        typer.echo(line, err=True)
    if as_json:
        show([json.dumps(list_tune(one, book), indent=1)])
    else:
        show([*_contents(tunes), _named(one), "", *_table(table_of(one, book))])


def _remarked(name: str, remarks: tuple[Remark, ...]) -> Iterator[str]:
    """What was not understood in the file, the first remarks one by one."""
    for remark in remarks[:MOST_SHOWN]:
        yield f"{name}: line {remark.line}, column {remark.column}: {remark.said}"
    if len(remarks) > MOST_SHOWN:
        yield f"{name}: and {len(remarks) - MOST_SHOWN} more like these."


def _contents(tunes: list[Tune]) -> list[str]:
    """The tunes of a file that holds several, by the numbers that ``--number`` takes."""
    return [f"{place:>3}  {_named(one)}" for place, one in enumerate(tunes, 1)] + [""] if tunes[1:] else []


def _named(tune: Tune) -> str:
    parts = [tune.title or "Untitled", tune.kind, count(bars_of(tune), "bar")]
    return ", ".join(part for part in parts if part)


def _table(rows: list[TableRow]) -> Iterable[str]:
    """The ornaments, and below them why some have no drill."""
    if not rows:
        return ["It has no gracenotes, so there is no ornament to name."]
    width = max(len(row.name) for row in rows)
    table = [f"times  {'ornament':{width}}  bar.beat"]
    table += [f"{row.times:>5}  {row.name:{width}}  {row.where}" for row in rows]
    said = dict.fromkeys(row.said for row in rows if row.said)
    return [*table, *(["", *said] if said else [])]
