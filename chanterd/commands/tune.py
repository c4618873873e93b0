"""``chanterd tune``: the ornaments of a tune, named, with bar and beat."""

import json
from pathlib import Path
from typing import Annotated

import typer

from chanterd.commands.options import AsJson, DataFolder, data_folder, show, whole_number
from chanterd.config import ChanterdError
from chanterd.music.book import read_book
from chanterd.music.tunes.listing import bars_of, list_tune, table_of
from chanterd.music.tunes.read import read_tunes
from chanterd.music.tunes.tune import Tune

MOST_SHOWN = 5
"""Remarks on a file that are shown one by one."""


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
    for remark in one.remarks[:MOST_SHOWN]:
        typer.echo(f"{file.name}: line {remark.line}, column {remark.column}: {remark.said}", err=True)
    if len(one.remarks) > MOST_SHOWN:
        typer.echo(f"{file.name}: and {len(one.remarks) - MOST_SHOWN} more like these.", err=True)
    if as_json:
        show([json.dumps(list_tune(one, book), indent=1)])
        return
    lines = [f"{place}  {_named(one)}" for place, one in enumerate(tunes, 1)] + [""] if tunes[1:] else []
    rows = list(table_of(one, book))
    if not rows:
        raise ChanterdError(f"{file.name}: {_named(one)} has no gracenotes, so there is no ornament to name.")
    width = max(len(name) for _, name, _ in rows)
    lines += [_named(one), "", f"times  {'ornament':{width}}  bar.beat"]
    lines += [f"{times:>5}  {name:{width}}  {where}" for times, name, where in rows]
    show(lines)


def _named(tune: Tune) -> str:
    parts = [tune.title or "Untitled", tune.kind, f"{bars_of(tune)} bars"]
    return ", ".join(part for part in parts if part)
