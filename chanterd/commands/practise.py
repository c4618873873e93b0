"""``chanterd practise PLAN``: takes a player through a plan, in the terminal and on the page."""

import logging
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from chanterd.commands.options import PORT, DataFolder, StoreUrl, data_folder, port_number
from chanterd.config import ChanterdError, ConfigError, did_you_mean
from chanterd.hearing.inputs import HELP as INPUT_HELP
from chanterd.hearing.inputs import open_input
from chanterd.practice.plans.plan import Plan, read_plan
from chanterd.practice.plans.words import part_words
from chanterd.practice_tables import PracticeTables, read_practice_tables
from chanterd.serving.server import serve

if TYPE_CHECKING:
    from chanterd.serving.daemon import Daemon
    from chanterd.serving.wire import shapes

app = typer.Typer(add_completion=False)


@app.command()
def practise(
    plan: Annotated[
        str, typer.Argument(metavar="PLAN", help="A plan's .toml file, or the name of a plan that chanterd has.")
    ],
    source: Annotated[str, typer.Option("--input", metavar="INPUT", help=INPUT_HELP)] = "demo",
    port: Annotated[str, typer.Option(metavar="N", help="Port of this machine; 0 takes any free one.")] = str(PORT),
    data: DataFolder = None,
    store: StoreUrl = None,
    *,
    no_open: Annotated[
        bool, typer.Option("--no-open", help="Do not open the page in a browser, and stop when the plan ends.")
    ] = False,
) -> None:
    """Play through a plan: drills and passages of tunes, warm-up first, with breaks."""
    logging.basicConfig(level=logging.WARNING, format="%(message)s")
    folder, number = data_folder(data, to_write=True), port_number(port)
    chosen = plan_from_words(plan, read_practice_tables(folder), folder)
    opened = open_input(source)

    def say(page: str) -> None:
        typer.echo(f"chanterd listens to '{opened.name}'. The page is at {page}. Ctrl-C stops it.")
        typer.echo(f"\n{chosen.name}. {chosen.said}")
        typer.echo("\n".join(f"  {count}. {part_words(part)}" for count, part in enumerate(chosen.parts, 1)))
        typer.echo("Stop if it hurts, and keep the click quieter than the chanter.\n")

    def begin(daemon: "Daemon", leave: Callable[[], None]) -> None:
        daemon.begin_plan(None, chosen, PlanPrinter(leave if no_open else None).show)

    serve([opened], folder, number, say, open_page=not no_open, begin=begin, store=store)


def plan_from_words(words: str, tables: PracticeTables, folder: Path | None = None) -> Plan:
    """The plan in that file, or the plan with that name; ``folder`` is the data folder.

    Raises ChanterdError if there is neither, or with every mistake in the file.
    """
    path = Path(words)
    if path.is_file():
        return read_plan(path, tables, folder)
    if words in tables.broken_plans:
        raise ConfigError(tables.broken_plans[words].said)
    if words in tables.plans:
        return tables.plans[words]
    guess = did_you_mean(words.removesuffix(".toml"), tables.plans)
    raise ChanterdError(
        f"The plan '{words}' is neither a file nor known by that name.{guess} Known are: {', '.join(tables.plans)}."
    )


class PlanPrinter:
    """Prints how a plan goes on, each sentence once; calls ``leave`` when the plan is over."""

    def __init__(self, leave: Callable[[], None] | None) -> None:
        self._leave = leave
        self._said: tuple[str, ...] = ()

    def show(self, session: "shapes.SessionShown") -> None:
        """Print what is new."""
        said = (session["news"], session["said"], session["reminder"])
        for one in said:
            if one and one not in self._said:
                typer.echo(one)
        self._said = said
        if session["state"] not in ("done", "stopped"):
            return
        if self._leave is None:
            typer.echo("The page stays open until you press Ctrl-C.")
        else:
            self._leave()
