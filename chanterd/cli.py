"""The command line: ``chanterd serve``, ``assess``, ``inputs``, ``learn``, ``drills``."""

import json
import logging
import sys
import time
from pathlib import Path
from queue import Empty, Queue
from typing import Annotated

import mido
import platformdirs
import typer
from rich.console import Console
from rich.table import Table

from chanterd import __version__
from chanterd.assess import Assessment, assess, profile_for, tempo_of
from chanterd.config import ChanterdError
from chanterd.hearing.chanter import Profile, find_profile, load_profiles, save_profile
from chanterd.hearing.driver import no_driver
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.inputs import open_input
from chanterd.hearing.learn import Learned, Learner
from chanterd.hearing.player import scale_cue
from chanterd.hearing.ports import list_ports
from chanterd.hearing.source import Status
from chanterd.hearing.take import read_take
from chanterd.judging.standard import DEFAULT, find_standard, read_standards
from chanterd.serving.daemon import monotonic
from chanterd.serving.server import serve as serve_forever
from chanterd.trade.drill import all_drills, drill_from_words, list_drill
from chanterd.trade.grid import click_bpm
from chanterd.trade.units import NS_PER_MS, Ns

BAD_INPUT = 2
"""Exit code when what was asked cannot be done."""
PORT = 8437
LESSON_S = 120.0
"""How long ``learn`` waits for the scale."""

app = typer.Typer(
    help="Listens to an electronic practice chanter and shows how early or late each step of an ornament was.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
DataFolder = Annotated[Path | None, typer.Option("--data", help="Folder for all that the daemon writes.")]
Standard = Annotated[str, typer.Option(help="learner, steady, competition, or one of your own.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of a table.")]


def data_folder(chosen: Path | None) -> Path:
    """The folder for everything that is written: the one chosen, or the system's own place for it."""
    return chosen if chosen is not None else platformdirs.user_data_path("chanterd")


@app.command()
def serve(
    source: Annotated[str, typer.Option("--input", help=INPUT_HELP)] = "demo",
    port: Annotated[int, typer.Option(help="Port of this machine; 0 takes any free one.", min=0, max=65535)] = PORT,
    data: DataFolder = None,
    *,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open the page in a browser.")] = False,
) -> None:
    """Listen to a chanter and serve the page."""
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(message)s", datefmt="%H:%M:%S")
    opened = open_input(source)

    def say(page: str) -> None:
        typer.echo(f"chanterd listens to '{opened.name}'. Open {page} and press the space bar. Ctrl-C stops it.")
        typer.echo("Take a break every half hour, stop if it hurts, and keep the click quieter than the chanter.")

    serve_forever([opened], data_folder(data), port, say, open_page=not no_open)


@app.command("assess")
def assess_take(
    take: Annotated[Path, typer.Argument(help="A Standard MIDI File.")],
    drill: Annotated[str, typer.Option(help="Such as 'grip from B to C'.")],
    click: Annotated[float | None, typer.Option(help="Clicks a minute; left out, the file's own tempo.")] = None,
    standard: Standard = DEFAULT,
    chanter: Annotated[str | None, typer.Option(help="The chanter's profile; left out, the one that fits.")] = None,
    data: DataFolder = None,
    *,
    as_json: AsJson = False,
) -> None:
    """Assess a take: how early or late, how long, how clean."""
    folder = data_folder(data)
    asked = drill_from_words(drill)
    level = find_standard(standard, read_standards(folder / "standards"))
    bpm = None if click is None else click_bpm(click)
    played = read_take(take)
    profiles = load_profiles(folder)
    profile = profile_for(played, profiles) if chanter is None else find_profile(chanter, profiles)
    found = assess(played, profile, asked, tempo_of(played) if bpm is None else bpm, level)
    if as_json:
        typer.echo(json.dumps(found, indent=1))
    else:
        _print_assessment(found)


def _print_assessment(found: Assessment) -> None:
    console = Console()
    table = Table(title=f"{found['drill']}, {found['click_bpm']:g} clicks a minute, standard '{found['standard']}'")
    table.add_column("rep", justify="right")
    table.add_column("on the beat", justify="right")
    table.add_column("steps: ms late (+) or early (-), and how long")
    table.add_column("verdict")
    for rep in found["reps"]:
        steps = []
        for step in rep["steps"]:
            if step["deviation_ms"] is None:
                steps.append(f"{step['note']} {step['state']}")
            else:
                length = "" if step["length_ms"] is None else f" ({step['length_ms']:.0f})"
                steps.append(f"{step.get('played_note', step['note'])} {step['deviation_ms']:+.0f}{length}")
        anchor = "" if rep["anchor_ms"] is None else f"{rep['anchor_ms']:+.0f} ms"
        table.add_row(str(rep["rep"] + 1), anchor, ", ".join(steps), rep["said"])
    console.print(table)
    summary = found["summary"]
    beat, count = summary["beat"], summary["played"]
    console.print(f"{summary['clean']} of {count} clean, at most {summary['longest_row']} in a row.")
    if beat["median_ms"] is not None:
        wide = "" if beat["spread_ms"] is None else f", give or take {beat['spread_ms']:.0f} ms"
        word = "late" if beat["median_ms"] >= 0 else "early"
        console.print(f"On the beat: {abs(beat['median_ms']):.0f} ms {word} in the middle{wide}.")
    for fault, times in summary["faults"].items():
        console.print(f"{fault}: in {times} of {count}")


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
    source: Annotated[str, typer.Option("--input", help=INPUT_HELP)],
    name: Annotated[str, typer.Option(help="What to call the chanter.")] = "my chanter",
    data: DataFolder = None,
) -> None:
    """Learn an unknown chanter: play the scale once, from low G to high A."""
    opened = open_input(source)
    learner, told = Learner(name), Queue[tuple[mido.Message, Ns] | Status]()
    opened.start(lambda message, at_ns: told.put((message, at_ns)), told.put)
    opened.cue(scale_cue(Ns(monotonic() + 500 * NS_PER_MS)))
    try:
        profile = _hear_scale(learner, told)
    finally:
        opened.stop()
    path = save_profile(profile, data_folder(data))
    typer.echo(f"Saved as '{profile.name}' in {path}. Choose it on the page, or with --chanter in 'chanterd assess'.")


def _hear_scale(learner: Learner, told: "Queue[tuple[mido.Message, Ns] | Status]") -> Profile:
    """Wait for the scale, saying what is wanted. Raises ChanterdError if it does not come."""
    said, until = "", time.monotonic() + LESSON_S
    while time.monotonic() < until:
        learned: Learned | None = None
        try:
            one = told.get(timeout=0.1)
        except Empty:
            learned = learner.wait(monotonic())
        else:
            if isinstance(one, Status):
                typer.echo(one.said, err=True)
            else:
                learned = learner.hear(*one)
        if learned is not None and learned.said != said:
            said = learned.said
            typer.echo(f"[{learned.heard} of 9] {said}")
        if learned is not None and learned.profile is not None:
            return learned.profile
    raise ChanterdError(
        f"The scale was not heard within {LESSON_S:g} seconds. See 'chanterd inputs' for the ports, then try again."
    )


@app.command()
def drills(
    words: Annotated[list[str] | None, typer.Argument(help="Only drills that have all these words.")] = None,
    *,
    as_json: AsJson = False,
) -> None:
    """List every ornament from every note it is played from."""
    wanted = [word.lower() for word in words or []]
    found = [drill for drill in all_drills() if all(word in drill.words.lower() for word in wanted)]
    if as_json:
        typer.echo(json.dumps([list_drill(drill) for drill in found], indent=1))
        return
    for drill in found:
        typer.echo(f"{drill.words}: {drill.spelled}")
    typer.echo(f"{len(found)} drills." if found else f"No drill has all of the words {' '.join(words or [])}.")


@app.command()
def version() -> None:
    """Print the version."""
    typer.echo(__version__)


def main() -> None:
    """Run the command line; what a user can mend is told on one line of stderr, with exit code 2."""
    try:
        app(standalone_mode=True)
    except ChanterdError as error:
        typer.echo(f"chanterd: {error}", err=True)
        sys.exit(BAD_INPUT)
    except KeyboardInterrupt:
        sys.exit(130)


if __name__ == "__main__":
    main()
