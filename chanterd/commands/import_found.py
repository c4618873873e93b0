"""``chanterd history import`` without a drill: drills, tunes and free playing that are found in a take become runs."""

from pathlib import Path

import typer

from chanterd.assessing.listen import listen_to, tunes_at_hand
from chanterd.assessing.take_import import Kept, keep_all, to_keep
from chanterd.commands.history import any_result_words, dated, find_any_run, opened
from chanterd.commands.listen import clock, passage_words
from chanterd.commands.options import data_folder
from chanterd.commands.shown_run import FREE, TUNE, began
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import find_profile
from chanterd.hearing.take import read_take
from chanterd.history.players import find_or_create
from chanterd.history.wall_clock import read_wall
from chanterd.judging.standard import find_standard
from chanterd.listening.report import passage_row
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import read_tables

PREFIXES = {"drill": "", "tune": TUNE, "free": FREE}


def import_found(
    path: Path, player: str, standard: str, chanter: str | None, data: Path | None, store: str | None
) -> None:
    """Keep the drills, the tunes and the free playing of a take as runs of that player, and say what else is in it.

    Raises ChanterdError if no ornament is in it, or as ``read_take`` does.
    """
    folder = data_folder(data)
    tables = read_tables(folder)
    limits = find_standard(standard, tables.standards)
    profile = None if chanter is None else find_profile(chanter, tables.profiles)
    take, ended = read_take(path), dated(path)
    shelf = Shelf(folder)
    heard = listen_to(take, tables.profiles, tables.book, profile, tunes_at_hand(shelf))
    found = to_keep(take, heard, shelf, limits, tables)
    if not found:
        raise ChanterdError(
            f"{path}: no ornament was found in it, so there is nothing to keep. See what is in it with "
            f"'chanterd listen {path.name}', or name what it is with --drill or --tune."
        )
    kept: list[Kept] = []
    with opened(data, store) as history:
        person = find_or_create(history, player, read_wall())
        for one in keep_all(history, person, take, heard, found, ended):
            kept.append(one)
            name = f"{PREFIXES[one.kind]}{one.run}"
            with history.reading() as connection:
                seen = find_any_run(connection, name)
            typer.echo(f"{person.name}, run {name}: {began(seen)}, {any_result_words(seen, tables.standards)}.")
    there = {one.passage for one in kept}
    for passage in heard.passages:
        if passage.kind != "silence" and passage not in there:
            row = passage_row(passage)
            when = f"{clock(row['start_ms'])} to {clock(row['end_ms'])}"
            typer.echo(f"Not kept: {when}, {passage_words(row)}: there is no ornament in it.")
