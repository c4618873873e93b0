"""``chanterd assess``: a recording judged, as a table or as JSON; with ``--again`` every take of the history."""

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

TAKE_HELP = "A Standard MIDI File."
DRILL_HELP = "What was to be played, such as 'grip from B to C'."

app = typer.Typer(add_completion=False)
Standard = Annotated[str, typer.Option(metavar="NAME", help="learner, steady, competition, or one of your own.")]


@app.command("assess")
def assess_take(
    take: Annotated[Path | None, typer.Argument(metavar="TAKE", help=TAKE_HELP, show_default=False)] = None,
    drill: Annotated[str | None, typer.Option(metavar="WORDS", help=DRILL_HELP, show_default=False)] = None,
    click: Annotated[
        str | None, typer.Option(metavar="BPM", help="Clicks a minute; left out, the file's own tempo.")
    ] = None,
    standard: Standard = DEFAULT,
    chanter: Annotated[
        str | None, typer.Option(metavar="NAME", help="The chanter's profile; left out, the one that fits.")
    ] = None,
    spread: Annotated[
        str | None, typer.Option(metavar="SHARE", help="The share of a click that a held step takes, such as 0.06.")
    ] = None,
    layout: Annotated[
        str | None, typer.Option(metavar="NAME", help="Where a rep falls on the clicks; left out, 'two clicks'.")
    ] = None,
    data: DataFolder = None,
    *,
    click_off: Annotated[
        bool, typer.Option("--click-off", help="It was played without a click; show how the tempo was kept.")
    ] = False,
    as_json: AsJson = False,
    again: Annotated[
        bool, typer.Option("--again", help="Judge every take of the history again, by the present judge, in its place.")
    ] = False,
    player: Annotated[
        str | None, typer.Option(metavar="NAME", help="With --again: whose takes; left out, everybody's.")
    ] = None,
    store: StoreUrl = None,
) -> None:
    """Assess a take: how early or late, how long, how clean."""
    if again:
        if take is not None or drill is not None:
            raise ChanterdError("--again judges all takes of the history; leave TAKE and --drill out, or --again.")
        from chanterd.commands.judge_again import judge_all_again  # noqa: PLC0415

        judge_all_again(data, store, player)
        return
    if player is not None or store is not None:
        raise ChanterdError("--player and --store are for --again; a single take is assessed without them.")
    if take is None or drill is None:
        name, what = ("TAKE", TAKE_HELP) if take is None else ("--drill", DRILL_HELP)
        raise ChanterdError(f"'chanterd assess' needs {name}: {lowered(what)} See 'chanterd assess --help'.")
    words = ExerciseWords(drill, number_or_words(click), standard, number_or_words(spread), layout, click_off)
    with collector_paused():
        request = read_request(take, words, chanter, read_tables(data_folder(data)))
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
    if found["left_out"]:
        lines.append(found["left_out"])
    if found["unknown_notes"]:
        unknown = ", ".join(map(str, found["unknown_notes"]))
        lines.append(f"Left out, since that chanter has no such notes: MIDI {unknown}.")
    kept = found["continuation"]["said"] if "continuation" in found else []
    show(
        [*lines, *printed(request.sequence, found["reps"], found["summary"], shutil.get_terminal_size().columns), *kept]
    )
