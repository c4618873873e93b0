"""``chanterd history import`` without a drill: every drill that is found in a take becomes a run."""

from pathlib import Path

import typer

from chanterd.assessing.drills_in_take import drills_in_take
from chanterd.assessing.listen import listen_to, tunes_at_hand
from chanterd.assessing.rejudge import keep_take
from chanterd.commands.history import began, dated, find_run, opened, result_words
from chanterd.commands.listen import clock, passage_words
from chanterd.commands.options import data_folder
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import find_profile
from chanterd.hearing.take import read_take
from chanterd.history.players import find_or_create
from chanterd.history.wall_clock import WallTime, read_wall
from chanterd.listening.report import passage_row
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import read_tables


def import_found(
    path: Path, player: str, standard: str, chanter: str | None, data: Path | None, store: str | None
) -> None:
    """Keep the drills of a take as runs of that player, and say what else is in it.

    Raises ChanterdError if there is no drill in it, or as ``read_take`` does.
    """
    folder = data_folder(data)
    tables = read_tables(folder)
    profile = None if chanter is None else find_profile(chanter, tables.profiles)
    take, ended = read_take(path), dated(path)
    heard = listen_to(take, tables.profiles, tables.book, profile, tunes_at_hand(Shelf(folder)))
    drills = [(one, one.request.assessed()) for one in drills_in_take(take, heard, standard, tables)]
    if not drills:
        raise ChanterdError(
            f"{path}: no drill was found in it, that is the same ornament four times at steady distances. See what is "
            f"in it with 'chanterd listen {path.name}', or name the drill with --drill."
        )
    last_ns = take.messages[-1][1]
    with opened(data, store) as history:
        person = find_or_create(history, player, read_wall())
        for one, found in drills:
            over = WallTime(ended.ns - last_ns + one.passage.end_ns, ended.utc_offset_s)
            run = keep_take(history, person, take.name, one.request, found, over)
            with history.reading() as connection:
                seen = find_run(connection, run)
            typer.echo(f"{person.name}, run {seen.run}: {began(seen)}, {result_words(seen, tables.standards)}.")
    for passage in heard.passages:
        if passage.kind in ("tune", "free"):
            row = passage_row(passage)
            typer.echo(f"Not kept: {clock(row['start_ms'])} to {clock(row['end_ms'])}, {passage_words(row)}.")
