"""``chanterd assess``: judges a recording, as a table or as JSON; of a tune, of a drill, or every take there is."""

import shutil
from pathlib import Path
from typing import Annotated

import typer

from chanterd.assessing.assess import assessment_json
from chanterd.assessing.request import read_request
from chanterd.commands.collector import collector_paused
from chanterd.commands.options import AsJson, DataFolder, StoreUrl, data_folder, number_or_words, show
from chanterd.config import ChanterdError
from chanterd.judging.printed import printed
from chanterd.judging.standard import DEFAULT
from chanterd.practice.exercise import ExerciseWords
from chanterd.progress.words import lowered
from chanterd.tables import read_tables

TAKE_HELP = "The recording, a Standard MIDI File."
DRILL_HELP = "The drill you played, such as 'grip from B to C'."

app = typer.Typer(add_completion=False)
Standard = Annotated[str, typer.Option(metavar="NAME", help="How strict: learner, steady, competition, or your own.")]


@app.command("assess")
def assess_take(
    take: Annotated[Path | None, typer.Argument(metavar="TAKE", help=TAKE_HELP, show_default=False)] = None,
    drill: Annotated[str | None, typer.Option(metavar="WORDS", help=DRILL_HELP, show_default=False)] = None,
    click: Annotated[
        str | None, typer.Option(metavar="BPM", help="Clicks a minute. Without it, the file's own tempo.")
    ] = None,
    standard: Standard = DEFAULT,
    chanter: Annotated[
        str | None, typer.Option(metavar="NAME", help="The chanter's profile. Without it, the one that fits.")
    ] = None,
    spread: Annotated[
        str | None, typer.Option(metavar="SHARE", help="The share of a click that a held step takes, such as 0.06.")
    ] = None,
    layout: Annotated[
        str | None, typer.Option(metavar="NAME", help="How a rep fits the clicks. Without it, 'two clicks'.")
    ] = None,
    offset: Annotated[
        str | None, typer.Option(metavar="MS", help="When the first click falls in the file. Without it, at its start.")
    ] = None,
    tune: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Instead of a drill: the tune you played, as .abc, .musicxml or .mxl."),
    ] = None,
    number: Annotated[
        str | None, typer.Option(metavar="N", help="With --tune: which tune of the file, from 1; left out, the first.")
    ] = None,
    data: DataFolder = None,
    *,
    click_off: Annotated[
        bool, typer.Option("--click-off", help="You played without a click: see how you kept the tempo.")
    ] = False,
    as_json: AsJson = False,
    again: Annotated[
        bool, typer.Option("--again", help="Judge every take in the history again and replace its results.")
    ] = False,
    player: Annotated[str | None, typer.Option(metavar="NAME", help="With --again: only this player's takes.")] = None,
    store: StoreUrl = None,
) -> None:
    """Assess a take: how early or late, how long, how clean."""
    if again:
        if take is not None or drill is not None:
            raise ChanterdError(
                "--again judges every take in the history; leave out TAKE and --drill, or leave out --again."
            )
        from chanterd.commands.judge_again import judge_all_again  # noqa: PLC0415

        judge_all_again(data, store, player)
        return
    if player is not None or store is not None:
        raise ChanterdError("--player and --store go with --again; leave them out for a single take.")
    if tune is not None and take is not None:
        if drill is not None or layout is not None:
            raise ChanterdError("--drill and --layout do not go with --tune; leave them out, or leave out --tune.")
        from chanterd.commands.assess_tune import TuneWords, assess_tune_take  # noqa: PLC0415

        asked = TuneWords(take, tune, number, click, click_off, standard, chanter, spread, offset)
        assess_tune_take(asked, read_tables(data_folder(data)), as_json=as_json)
        return
    if number is not None:
        raise ChanterdError("--number goes with --tune; leave it out for a drill.")
    if take is None or drill is None:
        name, what = ("TAKE", TAKE_HELP) if take is None else ("--drill", DRILL_HELP)
        raise ChanterdError(f"'chanterd assess' needs {name}: {lowered(what)} See 'chanterd assess --help'.")
    words = ExerciseWords(drill, number_or_words(click), standard, number_or_words(spread), layout, click_off)
    with collector_paused():
        request = read_request(take, words, chanter, read_tables(data_folder(data)), number_or_words(offset))
        found = request.assessed()
    if as_json:
        show([assessment_json(found)])
        return
    lines = [
        f"{found['drill']}, {request.exercise.layout.name}."
        if request.sequence[1:]
        else f"{found['drill']}: {request.exercise.drill.spelled}.",
        f"{found['click_bpm']:g} clicks a minute, standard '{found['standard']}', chanter '{found['chanter']}'.",
    ]
    lines += found["whole_take"]
    if found["left_out"]:
        lines.append(found["left_out"])
    if found["unknown_notes"]:
        unknown = ", ".join(map(str, found["unknown_notes"]))
        lines.append(f"Left out, because this chanter has no such notes: MIDI {unknown}.")
    continuation = found["continuation"]["said"] if "continuation" in found else []
    show(
        [
            *lines,
            *printed(request.sequence, found["reps"], found["summary"], shutil.get_terminal_size().columns),
            *continuation,
        ]
    )
