"""``chanterd report``: a player's practice over a span of days, on paper."""

from pathlib import Path
from typing import Annotated

import typer

from chanterd.commands.options import DataFolder, StoreUrl, data_folder, whole_number, write_out
from chanterd.config import ChanterdError
from chanterd.engraving.paper import find_paper
from chanterd.history.players import find_player
from chanterd.history.store import open_store
from chanterd.judging.standard import read_standards
from chanterd.progress.progress import IN_A_ROW
from chanterd.progress.report import report_of
from chanterd.progress.span import span_from_words

app = typer.Typer(add_completion=False)
KIND = ".pdf"
LONGEST_ROW = 100
"""The most that the page accepts."""


@app.command()
def report(
    player: Annotated[str, typer.Option("--player", metavar="NAME", help="Whose practice to report.")],
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="Where to write it; the name must end in .pdf.")],
    first: Annotated[
        str | None, typer.Option("--from", metavar="DAY", help="The first day, such as 2026-03-01.")
    ] = None,
    last: Annotated[str | None, typer.Option("--to", metavar="DAY", help="The last day. Without it, today.")] = None,
    in_a_row: Annotated[
        str, typer.Option("--in-a-row", metavar="N", help="Clean reps in a row that hold a tempo.")
    ] = str(IN_A_ROW),
    paper: Annotated[str, typer.Option(metavar="SIZE", help="a4 or letter.")] = "a4",
    data: DataFolder = None,
    store: StoreUrl = None,
) -> None:
    """Make a PDF report of a player's practice, to hand out."""
    size, span = find_paper(paper), span_from_words(first, last)
    row = whole_number("number of clean reps --in-a-row", in_a_row, 1, LONGEST_ROW, IN_A_ROW)
    if out.suffix.lower() != KIND:
        raise ChanterdError(f"The file --out is '{out}'; its name must end in {KIND}.")
    folder = data_folder(data, to_write=True)
    standards = read_standards(folder)
    history = open_store(store, folder)
    try:
        with history.reading() as connection:
            person = find_player(connection, player)
            made = report_of(connection, person, span, standards, row)
    finally:
        history.close()
    from chanterd.progress.paper import report_pdf  # noqa: PLC0415 - reportlab is loaded when something is printed

    write_out(out, [report_pdf(made, size)])
    typer.echo(f"The report on {person.name}{f', {made.days},' if made.days else ''} is in {out}.")
