"""``chanterd assess --again``: every take of the history judged by the present judge."""

from pathlib import Path

import typer

from chanterd.assessing.rejudge import judge_again
from chanterd.commands.history import opened
from chanterd.commands.options import data_folder
from chanterd.commands.progress_bar import progress_bar
from chanterd.history.players import find_player
from chanterd.history.wall_clock import read_wall
from chanterd.progress.words import count
from chanterd.tables import read_tables


def judge_all_again(data: Path | None, url: str | None, player: str | None) -> None:
    """Judge every take that is kept by the present judge, with a bar, and say what came of it."""
    tables = read_tables(data_folder(data))
    with opened(data, url) as history:
        with history.reading() as connection:
            whose = None if player is None else find_player(connection, player).number
        with progress_bar("Judging") as on_progress:
            again = judge_again(history, whose, tables, read_wall(), on_progress)
    for sentence in again.left:
        typer.echo(sentence, err=True)
    were = "was" if again.judged == 1 else "were"
    typer.echo(f"{count(again.judged, 'take')} {were} judged again; {again.changed} came out otherwise.")
