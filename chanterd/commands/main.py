"""The command line: ``chanterd serve``, ``assess``, ``inputs``, ``learn``, ``drills``, and what other modules bring."""

import json
import logging
import os
import re
import shutil
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from queue import Empty, Queue
from typing import Annotated, Any

import mido
import typer

from chanterd import __version__
from chanterd.assessing.assess import assessment_json
from chanterd.assessing.request import read_request
from chanterd.commands.history import app as history
from chanterd.commands.history import judge_all_again
from chanterd.commands.options import (
    PORT,
    AsJson,
    DataFolder,
    StoreUrl,
    data_folder,
    number_or_words,
    port_number,
    show,
)
from chanterd.commands.practise import practise
from chanterd.commands.report import report
from chanterd.commands.service import service
from chanterd.commands.sheet import sheet
from chanterd.config import ChanterdError, did_you_mean
from chanterd.hearing.chanter import Profile, save_profile
from chanterd.hearing.driver import no_driver
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.inputs import open_input
from chanterd.hearing.learn import Learned, Learner
from chanterd.hearing.ports import list_ports
from chanterd.hearing.simulated import scale_cue
from chanterd.hearing.source import Status
from chanterd.judging.printed import printed
from chanterd.judging.standard import DEFAULT
from chanterd.music.book import read_book
from chanterd.music.drill import all_drills, list_drill
from chanterd.music.units import NS_PER_MS, Ns
from chanterd.practice.exercise import ExerciseWords
from chanterd.progress.words import count, lowered
from chanterd.serving.daemon import monotonic
from chanterd.serving.server import serve as serve_forever
from chanterd.tables import read_tables

BAD_INPUT = 2
"""Exit code when what was asked cannot be done."""
INTERRUPTED = 130
"""Exit code after Ctrl-C, as shells have it."""
LESSON_S = 120.0
"""How long ``learn`` waits for the scale."""
TAKE_HELP = "A Standard MIDI File."
DRILL_HELP = "What was to be played, such as 'grip from B to C'."
LAST_NOTE_S = 0.5
"""How long it waits on after the end of a file, so that the last note has been held long enough to count."""

UsageError: type[Exception] = typer.BadParameter.__mro__[1]
"""What the parser raises for a command line it does not understand; where it lives depends on typer's version."""

app = typer.Typer(
    help="Listens to an electronic practice chanter and shows how early or late each step of an ornament was.",
    add_completion=False,
    pretty_exceptions_enable=False,
)
Standard = Annotated[str, typer.Option(metavar="NAME", help="learner, steady, competition, or one of your own.")]


def log_format(environment: Mapping[str, str]) -> str:
    """How a line of the log looks: the journal, which names itself in ``JOURNAL_STREAM``, adds the time itself."""
    return "%(message)s" if "JOURNAL_STREAM" in environment else "%(asctime)s %(message)s"


@app.command()
def serve(
    source: Annotated[str, typer.Option("--input", metavar="INPUT", help=INPUT_HELP)] = "demo",
    port: Annotated[str, typer.Option(metavar="N", help="Port of this machine; 0 takes any free one.")] = str(PORT),
    data: DataFolder = None,
    store: StoreUrl = None,
    *,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open the page in a browser.")] = False,
) -> None:
    """Listen to a chanter and serve the page."""
    logging.basicConfig(level=logging.INFO, format=log_format(os.environ), datefmt="%Y-%m-%d %H:%M:%S")
    folder, number = data_folder(data, to_write=True), port_number(port)
    opened = open_input(source)

    def say(page: str) -> None:
        typer.echo(f"chanterd listens to '{opened.name}'. Open {page} and press the space bar. Ctrl-C stops it.")
        typer.echo("Take a break every half hour, stop if it hurts, and keep the click quieter than the chanter.")

    serve_forever([opened], folder, number, say, open_page=not no_open, store=store)


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
        str | None, typer.Option(metavar="NAME", help="How a rep lies on the clicks; left out, 'two clicks'.")
    ] = None,
    data: DataFolder = None,
    *,
    click_off: Annotated[
        bool, typer.Option("--click-off", help="It was played without a click: tell how the tempo was kept.")
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
        judge_all_again(data, store, player)
        return
    if player is not None or store is not None:
        raise ChanterdError("--player and --store are for --again; a single take is assessed without them.")
    if take is None or drill is None:
        name, what = ("TAKE", TAKE_HELP) if take is None else ("--drill", DRILL_HELP)
        raise ChanterdError(f"'chanterd assess' needs {name}: {lowered(what)} See 'chanterd assess --help'.")
    words = ExerciseWords(drill, number_or_words(click), standard, number_or_words(spread), layout, click_off)
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


@app.command()
def inputs() -> None:
    """List the MIDI ports that can be listened to."""
    ports = list_ports()
    for port in ports:
        typer.echo(f"{port.name}  ({port.api})")
    if not ports:
        typer.echo(no_driver())
    typer.echo(f"demo  (the simulated player)\n{INPUT_HELP}")


@app.command()
def learn(
    source: Annotated[str, typer.Option("--input", metavar="INPUT", help=INPUT_HELP)],
    name: Annotated[str, typer.Option(metavar="NAME", help="What to call the chanter.")] = "my chanter",
    data: DataFolder = None,
) -> None:
    """Learn an unknown chanter: play the scale once, from low G to high A."""
    if not name.strip():
        raise ChanterdError("The name --name is empty; give the chanter a name of one letter or more.")
    folder, opened = data_folder(data, to_write=True), open_input(source)
    learner, told = Learner(name), Queue[tuple[mido.Message, Ns] | Status]()
    opened.start(lambda message, at_ns: told.put((message, at_ns)), told.put)
    opened.cue(scale_cue(Ns(monotonic() + 500 * NS_PER_MS)))
    try:
        profile = _hear_scale(learner, told)
    finally:
        opened.stop()
    path = save_profile(profile, folder)
    typer.echo(f"Saved as '{profile.name}' in {path}. Choose it on the page, or with --chanter in 'chanterd assess'.")


def _hear_scale(learner: Learner, told: "Queue[tuple[mido.Message, Ns] | Status]") -> Profile:
    """Wait for the scale, saying what is wanted. Raises ChanterdError if it does not come."""
    said, heard, until = "", 0, time.monotonic() + LESSON_S
    while time.monotonic() < until:
        learned: Learned | None = None
        try:
            one = told.get(timeout=0.1)
        except Empty:
            learned = learner.wait(monotonic())
        else:
            if isinstance(one, Status):
                typer.echo(one.said, err=True)
                if one.state == "ended":
                    until = time.monotonic() + LAST_NOTE_S
            else:
                learned = learner.hear(*one)
        if learned is not None and learned.said != said:
            said, heard = learned.said, learned.heard
            typer.echo(f"[{learned.heard} of 9] {said}")
        if learned is not None and learned.profile is not None:
            return learned.profile
    raise ChanterdError(
        f"The scale was not heard: {heard} of its 9 notes came. See 'chanterd inputs' for the ports, then try again."
    )


@app.command()
def drills(
    words: Annotated[
        list[str] | None, typer.Argument(metavar="[WORDS]...", help="Only drills that have all these words.")
    ] = None,
    data: DataFolder = None,
    *,
    as_json: AsJson = False,
) -> None:
    """List every ornament from every note it is played from."""
    wanted = [word.lower() for word in words or []]
    book = read_book(data_folder(data))
    found = [drill for drill in all_drills(book) if all(word in drill.words.lower() for word in wanted)]
    if as_json:
        show([json.dumps([list_drill(drill) for drill in found], indent=1)])
        return
    total = f"{count(len(found), 'drill')}." if found else f"No drill has all of the words {' '.join(words or [])}."
    show([*(f"{drill.words}: {drill.spelled}" for drill in found), total])


app.command()(sheet)
app.command()(practise)
app.command()(report)
app.command()(service)
app.add_typer(history, name="history")


@app.command()
def version() -> None:
    """Print the version."""
    typer.echo(__version__)


def in_our_words(error: Exception) -> str:
    """What was wrong with the command line, and the likely mend, in one sentence or two.

    Falls back on the parser's own words for what is not told apart here.
    """
    told: Any = error  # its attributes are the parser's own, and not typed in every version of typer
    command = told.ctx.command_path if told.ctx else "chanterd"
    see = f"See '{command} --help'."
    match type(error).__name__:
        case "MissingParameter":
            option = told.param.param_type_name == "option"
            name = told.param.opts[0] if option else told.param.metavar
            return f"'{command}' needs {name}: {lowered(str(told.param.help))} {see}"
        case "NoSuchOption":
            known = [name for param in told.ctx.command.params for name in param.opts if name.startswith("--")]
            guess = did_you_mean(told.option_name, known)
            return f"'{command}' has no option {told.option_name}.{guess} {see}"
        case "BadOptionUsage":
            without = "does not take a value" in told.message
            return (
                f"{told.option_name} takes no value. {see}"
                if without
                else f"{told.option_name} needs a value after it."
            )
    said = str(told.message)
    if too_many := re.search(r"unexpected extra argument\S* \((.*)\)$", said):
        return f"'{command}' has no use for '{too_many[1]}'. Are quotes missing around a text of several words?"
    if said.startswith("No such command"):
        name = said.split("'")[1] if "'" in said else ""
        commands = [str(command) for command in told.ctx.command.commands]
        return f"There is no command '{name}'.{did_you_mean(name, commands)} There are: {', '.join(commands)}."
    return f"{' '.join(told.format_message().split())} {see}"


def main() -> None:
    """Run the command line; what a user can mend is told on stderr, a line each, with exit code 2."""
    try:
        sys.exit(app(sys.argv[1:] or ["--help"], prog_name="chanterd", standalone_mode=False))
    except ChanterdError as error:
        said = str(error)
    except UsageError as error:
        said = in_our_words(error)
    except (KeyboardInterrupt, typer.Abort):
        sys.exit(INTERRUPTED)
    for line in said.splitlines():
        typer.echo(f"chanterd: {line}", err=True)
    sys.exit(BAD_INPUT)


if __name__ == "__main__":
    main()
