"""``chanterd history``: lists, exports, imports and deletes what players practised."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer
from sqlalchemy import Connection

from chanterd.assessing.rejudge import keep_take
from chanterd.assessing.request import read_request
from chanterd.commands.options import DataFolder, StoreUrl, data_folder, number_or_words, whole_number, write_out
from chanterd.commands.options import show as show_lines
from chanterd.commands.progress_bar import OnProgress, progress_bar
from chanterd.commands.shown_run import (
    FREE,
    TUNE,
    AnyRun,
    began,
    drill_lines,
    free_lines,
    free_words,
    tune_lines,
    tune_words,
)
from chanterd.config import ChanterdError
from chanterd.history.answers import RunSeen
from chanterd.history.export import TABLES, checked_format, csv_pieces, json_pieces, run_count
from chanterd.history.free_runs import (
    FreeRunSeen,
    delete_free_run,
    free_run_of,
    free_runs_of,
    free_take_of,
    ornaments_of,
)
from chanterd.history.players import all_players, delete_player, delete_run, find_or_create, find_player
from chanterd.history.queries import reps_of, run_of, runs_of
from chanterd.history.store import Store, open_store
from chanterd.history.takes import take_of
from chanterd.history.tune_runs import (
    TuneRunSeen,
    delete_tune_run,
    result_of,
    tune_run_of,
    tune_runs_of,
    tune_take_of,
)
from chanterd.history.wall_clock import WallTime, read_wall, wall_at
from chanterd.judging.standard import DEFAULT, Standard, read_standards, standard_of
from chanterd.practice.exercise import ExerciseWords
from chanterd.progress.span import span_from_words
from chanterd.progress.tunes import tunes_over_time
from chanterd.progress.words import count, place
from chanterd.tables import read_tables

app = typer.Typer(
    help="Your practice history: list, show, export, import, delete.", no_args_is_help=True, add_completion=False
)

LAST_RUN = 2**63 - 1
"""The largest number that a database counts its rows with (SQLite's INTEGER, PostgreSQL's bigint)."""
MOST_LISTED = 1_000_000

Out = Annotated[Path, typer.Option("--out", metavar="PATH", help="Where to write it.")]
RunArgument = Annotated[
    str,
    typer.Argument(
        metavar="RUN", help="As 'chanterd history list' shows it: 12; tune-3 for a tune; free-4 for free playing."
    ),
]
Player = Annotated[str | None, typer.Option("--player", metavar="NAME", help="Only this player's runs.")]


@contextmanager
def opened(data: Path | None, url: str | None) -> Iterator[Store]:
    """The history, closed again at the end. Raises ChanterdError if it cannot be opened."""
    store = open_store(url, data_folder(data, to_write=True))
    try:
        yield store
    finally:
        store.close()


@app.command("list")
def list_runs(
    player: Player = None,
    most: Annotated[str, typer.Option("--most", metavar="N", help="How many runs to list for each player.")] = "20",
    data: DataFolder = None,
    store: StoreUrl = None,
) -> None:
    """List the players and their runs, the newest first."""
    standards = read_standards(data_folder(data))
    listed_most = whole_number("number of runs --most", most, 1, MOST_LISTED, 20)
    with opened(data, store) as history, history.reading() as connection:
        people = all_players(connection)
        chosen = None if player is None else find_player(connection, player).number
        if not people:
            typer.echo("Nobody has practised yet.")
        for person in people:
            if chosen is not None and person.number != chosen:
                continue
            summary = f"{count(person.runs, 'run')}, the last on {person.last_day}" if person.runs else "no runs yet"
            typer.echo(f"{person.name}: {summary}.")
            runs: list[AnyRun] = [
                *runs_of(connection, person.number, most=listed_most),
                *tune_runs_of(connection, person.number, most=listed_most),
                *free_runs_of(connection, person.number, most=listed_most),
            ]
            for run in sorted(runs, key=lambda one: -one.began_ns)[:listed_most]:
                typer.echo(f"  {listed(run, standards)}")


@app.command()
def show(
    run: RunArgument,
    data: DataFolder = None,
    store: StoreUrl = None,
) -> None:
    """Show one run: every rep of a drill; of a tune, what to take out next, what is not alike, the tempo by bar.

    Of free playing, every ornament.
    """
    number, standards = run_number(run), read_standards(data_folder(data))
    with opened(data, store) as history, history.reading() as connection:
        seen = find_any_run(connection, run)
        lines: Iterable[str]
        if isinstance(seen, TuneRunSeen):
            played = result_of(connection, number)
            lines = (
                tune_lines(played)
                if played is not None
                else ["Of this run there are only these figures; 'chanterd assess --again' judges it if it has a take."]
            )
        elif isinstance(seen, FreeRunSeen):
            lines = free_lines(ornaments_of(connection, number))
        else:
            lines = drill_lines(reps_of(connection, number))
        show_lines([listed(seen, standards).strip(), *lines])


@app.command()
def tunes(
    player: Annotated[str, typer.Option("--player", metavar="NAME", help="Whose tunes to show.")],
    first: Annotated[
        str | None, typer.Option("--from", metavar="DAY", help="The first day, such as 2026-03-01.")
    ] = None,
    last: Annotated[str | None, typer.Option("--to", metavar="DAY", help="The last day. Without it, today.")] = None,
    data: DataFolder = None,
    store: StoreUrl = None,
) -> None:
    """Show how a player's tunes went week by week, and each ornament in them, then and now."""
    from chanterd.commands.shown_tunes import tunes_lines  # noqa: PLC0415 - only this command needs it

    span = span_from_words(first, last)
    with opened(data, store) as history, history.reading() as connection:
        person = find_player(connection, player)
        show_lines(tunes_lines(person.name, tunes_over_time(connection, person.number, span)))


def run_number(words: str) -> int:
    """The number of a run, as the user typed it. Raises ChanterdError if it is not one."""
    return whole_number("run", words.strip().removeprefix(TUNE).removeprefix(FREE), 1, LAST_RUN, 12)


def is_tune(words: str) -> bool:
    """Whether a run through a tune is meant."""
    return words.strip().startswith(TUNE)


def find_any_run(connection: Connection, words: str) -> AnyRun:
    """The run that was typed, such as 12, tune-3 or free-4. Raises ChanterdError if there is none."""
    number = run_number(words)
    if words.strip().startswith(FREE):
        return free_run_of(connection, number)
    return tune_run_of(connection, number) if is_tune(words) else find_run(connection, number)


def find_run(connection: Connection, run: int) -> RunSeen:
    """The run with that number. Raises ChanterdError if there is none."""
    seen = run_of(connection, run)
    if seen is None:
        raise ChanterdError(f"There is no run {run}; 'chanterd history list' shows the runs.")
    return seen


def listed(run: AnyRun, standards: Mapping[str, Standard]) -> str:
    """One run on one line."""
    prefix = "" if isinstance(run, RunSeen) else FREE if isinstance(run, FreeRunSeen) else TUNE
    name = f"{prefix}{run.run}"
    return f"{name:>7}  {began(run)}  {any_result_words(run, standards)}"


def any_result_words(run: AnyRun, standards: Mapping[str, Standard]) -> str:
    """What was played, and how it went."""
    if isinstance(run, FreeRunSeen):
        return free_words(run)
    return tune_words(run) if isinstance(run, TuneRunSeen) else result_words(run, standards)


def result_words(run: RunSeen, standards: Mapping[str, Standard]) -> str:
    """What was played, and how it went."""
    limit_ms = standard_of(run.standard, standards).on_beat_ms(run.click_bpm)
    placed = "" if run.bias_ms is None else f", usually {place(run.bias_ms, limit_ms)}"
    return f"{run.way.drill}, {run.click_bpm:g} clicks: {run.clean} of {run.played} clean{placed}"


@app.command()
def export(
    out: Out,
    kind: Annotated[str, typer.Option("--format", metavar="KIND", help="csv (a folder of tables) or json (one file).")],
    player: Player = None,
    data: DataFolder = None,
    store: StoreUrl = None,
) -> None:
    """Export the history: runs, reps, steps, faults, tunes, free playing, and takes with json."""
    checked_format(kind)
    with opened(data, store) as history, history.reading() as connection:
        whose = None if player is None else find_player(connection, player).number
        if kind == "json":
            of = run_count(connection, whose)
            with progress_bar("Exporting") as on_progress:
                write_out(out, _counted(json_pieces(connection, whose), of, on_progress))
        else:
            _make_folder(out)
            with progress_bar("Exporting") as on_progress:
                for number, table in enumerate(TABLES):
                    on_progress(number, len(TABLES))
                    write_out(out / f"{table}.csv", map(str.encode, csv_pieces(connection, table, whose)))
        runs = run_count(connection, whose)
        typer.echo(f"{count(runs, 'run')} {'is' if runs == 1 else 'are'} in {out}.")


def _counted(pieces: Iterator[str], of: int, on_progress: OnProgress) -> Iterator[bytes]:
    for number, piece in enumerate(pieces):
        on_progress(min(number, of), of)
        yield piece.encode()


@app.command()
def take(
    run: RunArgument,
    out: Out,
    data: DataFolder = None,
    store: StoreUrl = None,
) -> None:
    """Write the take of a run as a Standard MIDI File."""
    number = run_number(run)
    with opened(data, store) as history, history.reading() as connection:
        seen = find_any_run(connection, run)
        free = isinstance(seen, FreeRunSeen)
        midi = (free_take_of if free else tune_take_of if is_tune(run) else take_of)(connection, number)
    write_out(out, [midi])
    if isinstance(seen, FreeRunSeen):
        what = free_words(seen)
    else:
        name = seen.title if isinstance(seen, TuneRunSeen) else seen.way.drill
        what = f"{name}, {seen.click_bpm:g} clicks a minute"
    typer.echo(f"The take of run {run.strip()} is in {out}: {what}.")


@app.command("import")
def import_(
    take: Annotated[Path, typer.Argument(metavar="TAKE", help="A Standard MIDI File; the run gets the file's date.")],
    player: Annotated[str, typer.Option("--player", metavar="NAME", help="Who played it; a new name adds a player.")],
    drill: Annotated[
        str | None,
        typer.Option(metavar="WORDS", help="The drill they played. Without it, every drill that is found in the take."),
    ] = None,
    click: Annotated[str | None, typer.Option(metavar="BPM", help="Clicks a minute. Without it, the file's.")] = None,
    standard: Annotated[
        str, typer.Option(metavar="NAME", help="How strict: learner, steady, competition, ...")
    ] = DEFAULT,
    chanter: Annotated[
        str | None, typer.Option(metavar="NAME", help="Its profile. Without it, the one that fits.")
    ] = None,
    spread: Annotated[str | None, typer.Option(metavar="SHARE", help="The share of a click a held step takes.")] = None,
    layout: Annotated[str | None, typer.Option(metavar="NAME", help="How a rep fits the clicks.")] = None,
    data: DataFolder = None,
    store: StoreUrl = None,
    tune: Annotated[
        str | None,
        typer.Option(metavar="TUNE", help="The tune in it: a file, which is kept, or what it goes by on the page."),
    ] = None,
    number: Annotated[str, typer.Option(metavar="N", help="Which tune of the file, from 1.")] = "1",
    *,
    click_off: Annotated[bool, typer.Option("--click-off", help="They played without a click.")] = False,
) -> None:
    """Assess a take and add it to the history."""
    if tune is not None:
        if drill is not None or spread is not None or layout is not None:
            raise ChanterdError("--drill, --spread and --layout do not go with --tune; leave them out, or --tune.")
        from chanterd.commands.import_tune import TuneImport, import_tune  # noqa: PLC0415 - it loads the reader of tunes

        import_tune(TuneImport(take, player, tune, number, click, click_off, standard, chanter), data, store)
        return
    if drill is None:
        if click is not None or spread is not None or layout is not None or click_off:
            raise ChanterdError(
                "--click, --spread, --layout and --click-off are about one drill; name it with --drill or omit them."
            )
        from chanterd.commands.import_found import import_found  # noqa: PLC0415 - only now is a take listened to

        import_found(take, player, standard, chanter, data, store)
        return
    words = ExerciseWords(drill, number_or_words(click), standard, number_or_words(spread), layout, click_off)
    tables = read_tables(data_folder(data))
    request, ended = read_request(take, words, chanter, tables), dated(take)
    found = request.assessed()
    with opened(data, store) as history:
        person = find_or_create(history, player, read_wall())
        run = keep_take(history, person, take.name, request, found, ended)
        with history.reading() as connection:
            seen = find_run(connection, run)
    typer.echo(f"{person.name}, run {seen.run}: {began(seen)}, {result_words(seen, tables.standards)}.")


def dated(path: Path) -> WallTime:
    """When a file was last changed. Raises ChanterdError if it cannot be read."""
    try:
        return wall_at(path.stat().st_mtime_ns)
    except OSError as error:
        raise ChanterdError(f"{path}: cannot be read ({error.strerror}); check the name.") from error


@app.command()
def delete(
    player: Annotated[
        str | None, typer.Option("--player", metavar="NAME", help="A player and everything they played.")
    ] = None,
    run: Annotated[str | None, typer.Option("--run", metavar="RUN", help="One run.")] = None,
    data: DataFolder = None,
    store: StoreUrl = None,
    *,
    yes: Annotated[bool, typer.Option("--yes", help="Delete without asking first.")] = False,
) -> None:
    """Delete a player or a run for good; you cannot undo it, and no trace stays in the file."""
    if (player is None) == (run is None):
        raise ChanterdError("Say what to delete: --player NAME, or --run RUN.")
    standards = read_standards(data_folder(data))
    with opened(data, store) as history:
        with history.reading() as connection:
            person = None if player is None else find_player(connection, player)
            seen = None if run is None else find_any_run(connection, run)
        what = f"'{person.name}' and everything they played" if person is not None else f"run {(run or '').strip()}"
        if not yes:
            which = "" if seen is None else f" ({began(seen)}, {any_result_words(seen, standards)})"
            typer.confirm(f"Delete {what}{which} for good?", abort=True)
        if person is not None:
            delete_player(history, person.number)
        elif isinstance(seen, FreeRunSeen):
            delete_free_run(history, seen.run)
        elif isinstance(seen, TuneRunSeen):
            delete_tune_run(history, seen.run)
        elif seen is not None:
            delete_run(history, seen.run)
    typer.echo(f"Deleted {what}.")


def _make_folder(out: Path) -> None:
    try:
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ChanterdError(
            f"{out}: the folder cannot be made ({error.strerror}); choose another with --out."
        ) from error
