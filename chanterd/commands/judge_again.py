"""``chanterd assess --again``: judges every take in the history by this version's judge."""

from pathlib import Path

import typer

from chanterd.assessing.rejudge import judge_again
from chanterd.commands.history import opened
from chanterd.commands.options import data_folder
from chanterd.commands.progress_bar import progress_bar
from chanterd.history.players import find_player
from chanterd.history.wall_clock import read_wall
from chanterd.music.tunes.shelf import Shelf
from chanterd.progress.words import count
from chanterd.tables import read_tables


def judge_all_again(data: Path | None, url: str | None, player: str | None) -> None:
    """Judge every stored take by this version's judge, with a progress bar, and print what changed."""
    tables = read_tables(data_folder(data))
    with opened(data, url) as history:
        with history.reading() as connection:
            whose = None if player is None else find_player(connection, player).number
        with progress_bar("Judging") as on_progress:
            outcome = judge_again(history, whose, tables, Shelf(data_folder(data)), read_wall(), on_progress)
    for sentence in outcome.left:
        typer.echo(sentence, err=True)
    has = "has" if outcome.changed == 1 else "have"
    typer.echo(f"Judged {count(outcome.judged, 'take')} again; {outcome.changed} {has} new results.")
