"""``chanterd history import --tune``: a take of a tune becomes a run of a player."""

from dataclasses import dataclass
from pathlib import Path

import typer

from chanterd.assessing.assess import tempo_of
from chanterd.assessing.tune import profile_for_tune
from chanterd.assessing.tune_import import keep_tune_take, shelved_tune, tune_take
from chanterd.commands.history import dated, opened
from chanterd.commands.options import data_folder, number_or_words, whole_number
from chanterd.commands.shown_run import TUNE, began, tune_words
from chanterd.config import ChanterdError
from chanterd.files import read_file as read_bytes
from chanterd.hearing.chanter import find_profile
from chanterd.hearing.take import parse_take, read_file
from chanterd.history.players import find_or_create
from chanterd.history.tune_runs import tune_run_of
from chanterd.history.wall_clock import read_wall
from chanterd.judging.standard import find_standard
from chanterd.music.grid import click_bpm
from chanterd.music.tunes.musicxml import LARGEST
from chanterd.music.tunes.shelf import Shelf
from chanterd.tables import read_tables

MOST_TUNES = 10_000


@dataclass(frozen=True, slots=True)
class TuneImport:
    """What was typed; None is the usual choice."""

    take: Path
    player: str
    tune: str
    number: str
    click: str | None
    click_off: bool
    standard: str
    chanter: str | None


def import_tune(words: TuneImport, data: Path | None, store: str | None) -> None:
    """Judge the take and keep it; a file of the tune is kept on the shelf. Raises ChanterdError, one sentence."""
    if words.click is not None and words.click_off:
        raise ChanterdError("--click and --click-off exclude each other; leave one of them out.")
    folder = data_folder(data, to_write=True)
    tables, shelf = read_tables(folder), Shelf(folder)
    standard = find_standard(words.standard, tables.standards)
    bpm = None if words.click is None else click_bpm(number_or_words(words.click))
    number = whole_number("tune --number", words.number, 1, MOST_TUNES, 1)
    midi, ended = read_file(words.take), dated(words.take)
    take = parse_take(words.take, midi)
    path = Path(words.tune)
    file = (path.name, read_bytes(path, LARGEST)) if path.is_file() else None
    shelved = shelved_tune(shelf, words.tune, file, number)
    if bpm is None and not words.click_off:
        bpm = tempo_of(take)
    if shelved.tune is None:
        raise ChanterdError(shelved.said)
    said = ""
    if words.chanter is None:
        profile, said = profile_for_tune(take, tables.profiles, shelved.tune)
    else:
        profile = find_profile(words.chanter, tables.profiles)
    one = tune_take(midi, take, profile, shelved, bpm, standard, tables)
    with opened(data, store) as history:
        person = find_or_create(history, words.player, read_wall())
        run = keep_tune_take(history, person, take.name, one, ended)
        with history.reading() as connection:
            seen = tune_run_of(connection, run)
    if said:
        typer.echo(said)
    typer.echo(f"{person.name}, run {TUNE}{run}: {began(seen)}, {tune_words(seen)}.")
