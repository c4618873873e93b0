"""``chanterd history import`` without a drill: every drill and every tune that is found in a take becomes a run."""

from pathlib import Path

import typer

from chanterd.assessing.drills_in_take import drills_in_take
from chanterd.assessing.listen import listen_to, tunes_at_hand
from chanterd.assessing.rejudge import keep_take
from chanterd.assessing.tune_import import keep_tune_take, tunes_in_take
from chanterd.commands.history import dated, find_run, opened, result_words
from chanterd.commands.listen import clock, passage_words
from chanterd.commands.options import data_folder
from chanterd.commands.shown_run import TUNE, began, tune_words
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import find_profile
from chanterd.hearing.take import read_take
from chanterd.history.players import find_or_create
from chanterd.history.tune_runs import tune_run_of
from chanterd.history.wall_clock import WallTime, read_wall
from chanterd.judging.standard import find_standard
from chanterd.listening.report import passage_row
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import read_tables


def import_found(
    path: Path, player: str, standard: str, chanter: str | None, data: Path | None, store: str | None
) -> None:
    """Keep the drills and the tunes of a take as runs of that player, and say what else is in it.

    Raises ChanterdError if there is neither in it, or as ``read_take`` does.
    """
    folder = data_folder(data)
    tables = read_tables(folder)
    profile = None if chanter is None else find_profile(chanter, tables.profiles)
    take, ended = read_take(path), dated(path)
    shelf = Shelf(folder)
    heard = listen_to(take, tables.profiles, tables.book, profile, tunes_at_hand(shelf))
    drills = [(one, one.request.assessed()) for one in drills_in_take(take, heard, standard, tables)]
    tunes = list(tunes_in_take(take, heard, shelf, find_standard(standard, tables.standards), tables))
    if not drills and not tunes:
        raise ChanterdError(
            f"{path}: no drill was found in it, that is the same ornament four times at steady distances, and no tune "
            f"that is at hand. See what is in it with 'chanterd listen {path.name}', or name what it is with --drill "
            "or --tune."
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
        for passage, tune in tunes:
            over = WallTime(ended.ns - last_ns + passage.end_ns, ended.utc_offset_s)
            run = keep_tune_take(history, person, take.name, tune, over)
            with history.reading() as connection:
                seen_tune = tune_run_of(connection, run)
            typer.echo(f"{person.name}, run {TUNE}{run}: {began(seen_tune)}, {tune_words(seen_tune)}.")
    kept = [passage for passage, _ in tunes]
    for passage in heard.passages:
        if passage.kind in ("tune", "free") and passage not in kept:
            row = passage_row(passage)
            typer.echo(f"Not kept: {clock(row['start_ms'])} to {clock(row['end_ms'])}, {passage_words(row)}.")
